import type { FlagOutcome } from '../core/model/flag.js';
import type { FlagId, StaffId } from '../core/model/ids.js';
import { writeAudit } from './audit.js';
import { addFlagEvent } from './flag-events.js';
import { at, type Store } from './store.js';
import type { FlagEventKind, FlagRow } from './tables.js';
import { inTransaction } from './transaction.js';

/** What became of something a nurse wanted to do to a flag; pages word it, nothing here throws for a race. */
export type FlagDone =
  | { readonly kind: 'done' }
  | { readonly kind: 'no-such-flag' }
  | { readonly kind: 'already-taken'; readonly by: StaffId; readonly byName: string }
  | { readonly kind: 'already-closed'; readonly byName: string };

const DONE: FlagDone = { kind: 'done' };

/** Takes a flag: of two who take it at once one wins, the other reads the winner's name. Taking twice is harmless. */
export async function take(store: Store, flagId: FlagId, staffId: StaffId, now: number): Promise<FlagDone> {
  return onFlag(store, flagId, async (tx, flag) => {
    if (flag.state === 'taken') {
      if (flag.taken_by === staffId || flag.taken_by === null) return DONE;
      return { kind: 'already-taken', by: flag.taken_by, byName: await nameOf(tx, flag.taken_by) };
    }
    const taken = { state: 'taken' as const, taken_by: staffId, taken_at: at(now), escalate_at: null };
    await change(tx, flag, staffId, 'taken', taken, null, now);
    return DONE;
  });
}

/** Gives a flag to a colleague, with a word on why. */
export async function handOver(
  store: Store,
  flagId: FlagId,
  from: StaffId,
  to: StaffId,
  note: string | null,
  now: number,
): Promise<FlagDone> {
  return onFlag(store, flagId, async (tx, flag) => {
    const given = { state: 'taken' as const, taken_by: to, taken_at: at(now), escalate_at: null };
    const words = `To ${await nameOf(tx, to)}${note === null ? '' : `: ${note}`}`;
    await change(tx, flag, from, 'handed-over', given, words, now);
    return DONE;
  });
}

/** Puts a flag back for whoever is free; it is told to others again when its time is up. */
export async function putBack(store: Store, flagId: FlagId, by: StaffId, now: number): Promise<FlagDone> {
  return onFlag(store, flagId, async (tx, flag) => {
    const open = { state: 'open' as const, taken_by: null, taken_at: null, escalate_at: flag.due_at };
    await change(tx, flag, by, 'handed-over', open, 'Put back into the queue', now);
    return DONE;
  });
}

/** Writes down what was done or learnt. */
export async function addNote(
  store: Store,
  flagId: FlagId,
  by: StaffId,
  note: string,
  now: number,
): Promise<FlagDone> {
  return onFlag(store, flagId, async (tx, flag) => {
    await change(tx, flag, by, 'noted', { escalate_at: null }, note, now);
    return DONE;
  });
}

/** Closes a flag with what became of it. A later text about the same trouble opens a new one. */
export async function close(
  store: Store,
  flagId: FlagId,
  by: StaffId,
  outcome: FlagOutcome,
  note: string | null,
  now: number,
): Promise<FlagDone> {
  return onFlag(store, flagId, async (tx, flag) => {
    const closed = {
      state: 'closed' as const,
      closed_by: by,
      closed_at: at(now),
      outcome,
      escalate_at: null,
      // What the family hears is decided by the jobs (`jobs/tell-closed.ts`).
      is_family_to_be_told: flag.guardian_id !== null,
    };
    const words = note === null ? outcome : `${outcome}: ${note}`;
    await change(tx, flag, by, outcome === 'wrongly-read' ? 'corrected' : 'closed', closed, words, now);
    return DONE;
  });
}

async function onFlag(
  store: Store,
  flagId: FlagId,
  work: (tx: Store, flag: FlagRow) => Promise<FlagDone>,
): Promise<FlagDone> {
  return inTransaction(store, async (tx) => {
    const flag = await tx.db
      .selectFrom('flag')
      .selectAll()
      .where('id', '=', flagId)
      .forUpdate()
      .executeTakeFirst();
    if (flag === undefined) return { kind: 'no-such-flag' };
    if (flag.state === 'closed') {
      return { kind: 'already-closed', byName: await nameOf(tx, flag.closed_by) };
    }
    return work(tx, flag);
  });
}

async function change(
  tx: Store,
  flag: FlagRow,
  by: StaffId,
  kind: FlagEventKind,
  set: Partial<FlagRow>,
  note: string | null,
  now: number,
): Promise<void> {
  await tx.db
    .updateTable('flag')
    .set({ ...set, first_action_at: flag.first_action_at ?? at(now) })
    .where('id', '=', flag.id)
    .execute();
  await addFlagEvent(tx, { flagId: flag.id, at: now, kind, staffId: by, note });
  const entry = { at: now, actor: by, action: `flag-${kind}`, subject: `flag:${flag.id}` };
  await writeAudit(tx, { ...entry, clinicId: flag.clinic_id, detail: note === null ? {} : { note } });
}

async function nameOf(tx: Store, staffId: StaffId | null): Promise<string> {
  if (staffId === null) return 'toeline';
  const row = await tx.db.selectFrom('staff').select('name').where('id', '=', staffId).executeTakeFirst();
  return row?.name ?? 'somebody';
}
