import type { ChildFacts } from '../core/model/family.js';
import type { GuardianId, PlannedTextId } from '../core/model/ids.js';
import { REMINDERS, type Reminder } from '../core/model/texts.js';
import { lockPlanned, notePlanned, planText, settlePlanned } from '../store/planned.js';
import { nextGuardian } from '../store/reach.js';
import type { Store } from '../store/store.js';
import type { PlannedTextRow } from '../store/tables.js';
import { inTransaction } from '../store/transaction.js';
import { carryOut, type Deed, type Follow } from './effects.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import { openTurns, type Turn } from './turn.js';

/** Null: settled one way or another. A number: try again at this instant (ms). */
export type Again = number | null;

/** A question stands with the family: the next one waits so long before it asks again whether it may. */
const QUESTION_OPEN_MS = 30 * 60_000;

type Row = PlannedTextRow & { readonly is_child_stopped: boolean };

interface Verdict {
  readonly row: Row;
  readonly again?: number;
  readonly settle?: { readonly state: 'sent' | 'dropped' | 'withdrawn'; readonly note: string | null };
  readonly deed?: Deed;
  /** The number takes no texts: the child's other guardian is asked; without one the deed is done (a call task). */
  readonly isForOther?: boolean;
}

/**
 * Sends planned texts whose time has come: each is looked at again (is it still wanted, is its time past, may this
 * number be texted), begins its check-in or says its reminder, and is settled, all in one transaction. A batch that
 * fails is tried one by one, so that one broken text does not hold up the others.
 */
export async function sendPlanned(jobs: Jobs, ids: readonly PlannedTextId[]): Promise<readonly Again[]> {
  try {
    return await sendTogether(jobs, ids);
  } catch (error) {
    const [id] = ids;
    if (ids.length === 1 && id !== undefined) return [await sendFailed(jobs, id, error)];
    const again: Again[] = [];
    for (const one of ids) again.push(...(await sendPlanned(jobs, [one])));
    return again;
  }
}

async function sendFailed(jobs: Jobs, id: PlannedTextId, error: unknown): Promise<Again> {
  jobs.note('A planned text could not be sent; it is tried again until its time has passed.', error);
  await notePlanned(jobs.store, id, `could not be sent: ${error instanceof Error ? error.message : error}`);
  return jobs.now() + 60_000;
}

async function sendTogether(jobs: Jobs, ids: readonly PlannedTextId[]): Promise<readonly Again[]> {
  const now = jobs.now();
  const { follow, again } = await inTransaction(jobs.store, async (tx) => {
    // Made anew inside, because the transaction may be run again.
    const again = new Map<PlannedTextId, number>();
    const rows = await lockPlanned(tx, ids);
    const turns = await openTurns(tx, jobs.core, [...new Set(rows.map((row) => row.guardian_id))], now);
    const begun = new Set<GuardianId>();
    const verdicts: Verdict[] = [];
    for (const row of rows) {
      // One step a guardian and transaction: what a step may know is looked up once, before the first.
      const verdict = begun.has(row.guardian_id)
        ? { row, again: now }
        : judge(jobs, row, turns.get(row.guardian_id), now);
      if (verdict.deed !== undefined) begun.add(row.guardian_id);
      verdicts.push(verdict);
    }
    for (const { row, again: at } of verdicts) if (at !== undefined) again.set(row.id, at);
    return { follow: await settle(tx, jobs, verdicts, now), again };
  });
  await tellQueues(jobs, follow);
  return ids.map((id) => again.get(id) ?? null);
}

function judge(jobs: Jobs, row: Row, turn: Turn | undefined, now: number): Verdict {
  if (row.due_at.getTime() > now) return { row, again: row.due_at.getTime() };
  if (row.is_child_stopped) return ended(row, 'withdrawn', 'texts about this child are stopped');
  if (row.expires_at.getTime() <= now) return ended(row, 'dropped', staleNote(row));
  if (turn === undefined) return ended(row, 'withdrawn', 'the guardian is no longer known');
  const child = turn.facts.children.find(({ id }) => id === row.child_id);
  if (child === undefined) return ended(row, 'withdrawn', 'the guardian no longer looks after this child');
  const { effects, conversation, notBegun } = decide(jobs, row, turn, child, now);
  if (notBegun === 'question-open') return { row, again: now + QUESTION_OPEN_MS };
  const deed: Deed = {
    guardianId: turn.guardianId,
    who: turn.who,
    before: turn.question,
    step: { conversation, effects },
    textInId: null,
    plannedTextId: row.id,
  };
  if (notBegun === 'stopped') return { row, deed, isForOther: true };
  if (notBegun !== undefined) {
    return { row, deed, settle: { state: 'dropped', note: WHY_NOT_BEGUN[notBegun] } };
  }
  return { row, deed, settle: { state: 'sent', note: null } };
}

const NOBODY = 'texts to this number are stopped, and nobody else looks after the child';

const WHY_NOT_BEGUN = {
  'weekly-limit': 'the family has had its texts for this week',
  quiet: 'the family is not to be disturbed now',
  'not-reading': 'nobody there reads; a person is to call',
};

function decide(jobs: Jobs, row: Row, turn: Turn, child: ChildFacts, now: number) {
  const { facts, who, question } = turn;
  const about = { child, facts, now, for: row.for_what };
  if (!isReminder(row.kind)) {
    return jobs.core.startCheckIn({ ...about, checkIn: row.kind, conversation: question });
  }
  const expiresAt = row.expires_at.getTime();
  const reminded = jobs.core.remind({ ...about, reminder: row.kind, clinic: who.clinic, expiresAt });
  return { ...reminded, conversation: null };
}

function isReminder(kind: Row['kind']): kind is Reminder {
  return (REMINDERS as readonly string[]).includes(kind);
}

function ended(row: Row, state: 'dropped' | 'withdrawn', note: string): Verdict {
  return { row, settle: { state, note } };
}

function staleNote(row: Row): string {
  return row.note === null ? 'its time had passed before it could go' : `its time had passed; it ${row.note}`;
}

async function settle(tx: Store, jobs: Jobs, verdicts: readonly Verdict[], now: number): Promise<Follow> {
  const other = [];
  const ends = new Map<
    string,
    { state: 'sent' | 'dropped' | 'withdrawn'; note: string | null; ids: PlannedTextId[] }
  >();
  const end = (row: Row, state: 'sent' | 'dropped' | 'withdrawn', note: string | null) => {
    const group = ends.get(`${state} ${note}`) ?? { state, note, ids: [] };
    group.ids.push(row.id);
    ends.set(`${state} ${note}`, group);
  };
  const deeds: Deed[] = [];
  for (const { row, settle: how, isForOther, deed } of verdicts) {
    if (how !== undefined) end(row, how.state, how.note);
    const planned = isForOther ? await planForOther(tx, row, now) : null;
    if (planned !== null) other.push({ id: planned, at: now });
    else if (deed !== undefined) deeds.push(deed);
    if (isForOther) end(row, 'withdrawn', planned === null ? NOBODY : 'goes to the other guardian');
  }
  for (const { state, note, ids } of ends.values()) await settlePlanned(tx, ids, state, note);
  const follow = await carryOut(tx, jobs.core, deeds, now);
  return { ...follow, planned: [...follow.planned, ...other] };
}

/** Plans the same text for the child's next guardian. Null: there is none, or it has been planned already. */
export async function planForOther(
  tx: Store,
  row: PlannedTextRow,
  now: number,
): Promise<PlannedTextId | null> {
  const guardianId = await nextGuardian(tx, row.child_id, row.guardian_id);
  if (guardianId === null) return null;
  return planText(tx, {
    clinicId: row.clinic_id,
    childId: row.child_id,
    guardianId,
    kind: row.kind,
    forWhat: row.for_what,
    dueAt: now,
    expiresAt: row.expires_at.getTime(),
  });
}
