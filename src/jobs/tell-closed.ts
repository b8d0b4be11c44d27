import { flagsToTell, markTold } from '../store/closed-flags.js';
import type { FlagRow } from '../store/tables.js';
import { inTransaction } from '../store/transaction.js';
import { carryOut } from './effects.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import { openTurns } from './turn.js';

/**
 * Tells families what became of matters a nurse has closed, and sets the timer that asks a day later whether it got
 * better. Each flag in a transaction of its own: one that cannot be told does not hold up the others.
 */
export async function tellClosed(jobs: Jobs): Promise<number> {
  const flags = await flagsToTell(jobs.store, 100);
  for (const flag of flags) await tellOne(jobs, flag);
  return flags.length;
}

async function tellOne(jobs: Jobs, flag: FlagRow): Promise<void> {
  const { guardian_id: guardianId, outcome, matter, urgency } = flag;
  const now = jobs.now();
  const follow = await inTransaction(jobs.store, async (tx) => {
    const turns = guardianId === null ? undefined : await openTurns(tx, jobs.core, [guardianId], now);
    const turn = guardianId === null ? undefined : turns?.get(guardianId);
    if (!(await markTold(tx, flag.id)) || turn === undefined || outcome === null) return {};
    const { facts, question, who } = turn;
    const child = facts.children.find(({ id }) => id === flag.child_id) ?? null;
    const step = jobs.core.onClosed({ matter, urgency, outcome, child, facts, conversation: question, now });
    const deed = { guardianId: turn.guardianId, who, before: question, step };
    return carryOut(tx, jobs.core, [{ ...deed, textInId: null, plannedTextId: null }], now);
  });
  await tellQueues(jobs, follow);
}
