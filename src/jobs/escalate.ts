import type { StaffId } from '../core/model/ids.js';
import { type Clinic, clinicOf } from '../store/clinics.js';
import { lockFlagsToEscalate, noteEscalated } from '../store/escalations.js';
import { addTexts, type NewText, type Waiting } from '../store/outbox.js';
import { staffOf } from '../store/staff.js';
import type { Store } from '../store/store.js';
import type { FlagRow } from '../store/tables.js';
import { inTransaction } from '../store/transaction.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';

/**
 * Tells the people on call, one after another, of flags nobody has taken. Each step stands in the flag's history,
 * also when nobody fills it. Returns how many flags it looked at.
 */
export async function escalate(jobs: Jobs): Promise<number> {
  const now = jobs.now();
  const { sends, count } = await inTransaction(jobs.store, async (tx) => {
    // Made anew inside, because the transaction may be run again.
    const sends: Waiting[] = [];
    const flags = await lockFlagsToEscalate(tx, now, 100);
    for (const flag of flags) sends.push(...(await climb(tx, jobs, flag, now)));
    return { sends, count: flags.length };
  });
  await tellQueues(jobs, { sends });
  return count;
}

async function climb(tx: Store, jobs: Jobs, flag: FlagRow, now: number): Promise<readonly Waiting[]> {
  if (flag.clinic_id === null) {
    await noteEscalated(tx, flag, flag.escalated_step, [], null, now);
    return [];
  }
  const clinic = await clinicOf(tx, flag.clinic_id);
  const plan = jobs.core.escalation(flag, clinic, now);
  const texts: NewText[] = [];
  const words: string[] = [];
  for (const { number, step, staffId } of plan.due) {
    const person = staffId === null ? null : await staffOf(tx, staffId as StaffId);
    if (person === null || !person.isActive) words.push(`Step ${number} (${step}): nobody is on call.`);
    else if (person.phone === null)
      words.push(`Step ${number} (${step}): ${person.name} has no telephone number here.`);
    else {
      words.push(`Step ${number} (${step}): ${person.name} was texted.`);
      texts.push(onCallText(flag, clinic, person.phone, number, now));
    }
  }
  const reached = Math.max(flag.escalated_step, ...plan.due.map(({ number }) => number));
  await noteEscalated(tx, flag, reached, words, plan.nextAt, now);
  return addTexts(tx, texts, now);
}

/** No name of a child and none of the family's words: phones of staff lie on tables. */
function onCallText(flag: FlagRow, clinic: Clinic, to: string, step: number, now: number): NewText {
  const waits = Math.max(0, Math.round((now - flag.opened_at.getTime()) / 60_000));
  const urgency = flag.urgency === 'now' ? 'NOW' : flag.urgency;
  return {
    key: `on-call-${flag.id}-${flag.urgency}-${step}`,
    clinicId: clinic.id,
    guardianId: null,
    childId: null,
    flagId: flag.id,
    to,
    kind: 'on-call',
    lane: 'safety',
    promised: 'at-least-once',
    language: 'en',
    body: `${clinic.name}: a flag (${urgency}) has waited ${waits} min and nobody has taken it. Open the queue.`,
    wording: null,
    ignoresHours: true,
    notBefore: now,
    expiresAt: null,
  };
}
