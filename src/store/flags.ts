import type { FlagRaised } from '../core/model/flag.js';
import type { ChildId, ClinicId, FlagId, GuardianId, TextInId } from '../core/model/ids.js';
import { URGENCIES } from '../core/model/signs.js';
import { writeAudit } from './audit.js';
import { addFlagEvent } from './flag-events.js';
import { at, type Store } from './store.js';
import type { FlagRow, FlagUrgency } from './tables.js';
import { inTransaction } from './transaction.js';

/** Whom a flag is about. A child if one is known, else the number, else the clinic, else toeline itself. */
export interface About {
  readonly clinicId: ClinicId | null;
  readonly childId: ChildId | null;
  readonly guardianId: GuardianId | null;
  readonly number: string | null;
}

export interface Raise {
  readonly about: About;
  readonly flag: FlagRaised;
  /** Instant (ms) by which a person must have acted. */
  readonly dueAt: number;
  /** The text that gave rise to it; null for a silence or an alert. */
  readonly textInId: TextInId | null;
}

export interface Raised {
  readonly flagId: FlagId;
  /** `again`: joined the open flag of the same matter. `worse`: that one became more urgent. */
  readonly outcome: 'raised' | 'again' | 'worse';
}

/**
 * Raises a flag, or adds to the open one of the same child (or number) and matter. An open flag may become more
 * urgent, riskier and due earlier, never the opposite: only a person lowers. Safe when two texts arrive at once.
 */
export async function raise(store: Store, wanted: Raise, now: number): Promise<Raised> {
  return inTransaction(store, async (tx) => {
    // An open flag may be closed between the failed insert and the look: then the next insert succeeds.
    for (let attempt = 0; attempt < 5; attempt += 1) {
      const flagId = await insertFlag(tx, wanted, now);
      if (flagId !== undefined) return noteRaised(tx, flagId, wanted, 'raised', now);
      const open = await lockOpen(tx, aboutKey(wanted.about), wanted.flag.matter);
      if (open === undefined) continue;
      const isWorse = rankOf(wanted.flag.urgency) > rankOf(open.urgency);
      await sharpen(tx, open, wanted, isWorse, now);
      return noteRaised(tx, open.id, wanted, isWorse ? 'worse' : 'again', now);
    }
    throw new Error('The flag was opened and closed over and over while it was being raised: try again.');
  });
}

async function insertFlag(
  tx: Store,
  { about, flag, dueAt }: Raise,
  now: number,
): Promise<FlagId | undefined> {
  const row = await tx.db
    .insertInto('flag')
    .values({
      id: tx.newId<FlagId>(),
      clinic_id: about.clinicId,
      child_id: about.childId,
      guardian_id: about.guardianId,
      number: about.number,
      about: aboutKey(about),
      matter: flag.matter,
      urgency: flag.urgency,
      rule: flag.rule,
      reason: flag.reason,
      next_step: flag.nextStep,
      risk: flag.risk,
      opened_at: at(now),
      due_at: at(dueAt),
      urgency_at: at(now),
      // Looked at at once: the ladder of its urgency says when whom to tell (`jobs/escalate.ts`).
      escalate_at: at(now),
    })
    .onConflict((conflict) =>
      conflict.columns(['about', 'matter']).where('state', '<>', 'closed').doNothing(),
    )
    .returning('id')
    .executeTakeFirst();
  return row?.id;
}

async function lockOpen(tx: Store, about: string, matter: FlagRaised['matter']) {
  return tx.db
    .selectFrom('flag')
    .selectAll()
    .where('about', '=', about)
    .where('matter', '=', matter)
    .where('state', '<>', 'closed')
    .forUpdate()
    .executeTakeFirst();
}

/** The open flag about someone (see {@link aboutKey}) in a matter, if one stands. */
export async function openFlagOf(
  store: Store,
  about: string,
  matter: FlagRaised['matter'],
): Promise<FlagRow | undefined> {
  return store.db
    .selectFrom('flag')
    .selectAll()
    .where('about', '=', about)
    .where('matter', '=', matter)
    .where('state', '<>', 'closed')
    .executeTakeFirst();
}

async function sharpen(
  tx: Store,
  open: FlagRow,
  wanted: Raise,
  isWorse: boolean,
  now: number,
): Promise<void> {
  const { flag, dueAt } = wanted;
  const risk = Math.max(open.risk, flag.risk);
  const worse = {
    urgency: flag.urgency,
    urgency_at: at(now),
    rule: flag.rule,
    reason: flag.reason,
    next_step: flag.nextStep,
    due_at: at(Math.min(open.due_at.getTime(), dueAt)),
    // Whoever took it took something milder: if nobody acts on the worse, others are told.
    escalate_at: at(now),
    escalated_step: 0,
  };
  await tx.db
    .updateTable('flag')
    .set({ risk, ...(isWorse ? worse : {}) })
    .where('id', '=', open.id)
    .execute();
}

async function noteRaised(
  tx: Store,
  flagId: FlagId,
  { flag, textInId, about }: Raise,
  outcome: Raised['outcome'],
  now: number,
): Promise<Raised> {
  const { urgency, reason: note, signs, evidence } = flag;
  await addFlagEvent(tx, { flagId, at: now, kind: outcome, textInId, urgency, note, signs, evidence });
  const entry = { at: now, actor: 'toeline' as const, action: 'raise-flag', subject: `flag:${flagId}` };
  const detail = { matter: flag.matter, urgency, rule: flag.rule, outcome };
  await writeAudit(tx, { ...entry, clinicId: about.clinicId, detail });
  return { flagId, outcome };
}

/** Adds words ("better now") to the open flag of a matter, if there is one; lowers nothing. */
export async function addWords(
  store: Store,
  about: About,
  matter: FlagRaised['matter'],
  note: string,
  textInId: TextInId | null,
  now: number,
): Promise<FlagId | null> {
  return inTransaction(store, async (tx) => {
    const open = await lockOpen(tx, aboutKey(about), matter);
    if (open === undefined) return null;
    await addFlagEvent(tx, { flagId: open.id, at: now, kind: 'added', note, textInId });
    return open.id;
  });
}

/** One key for whom a flag is about: at most one open flag stands per key and matter. */
export function aboutKey({ childId, number, clinicId }: About): string {
  if (childId !== null) return `child:${childId}`;
  if (number !== null) return `number:${number}`;
  return clinicId === null ? 'service' : `clinic:${clinicId}`;
}

function rankOf(urgency: FlagUrgency): number {
  return URGENCIES.indexOf(urgency);
}
