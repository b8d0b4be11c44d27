import { guardianOfConversation, toWake } from '../store/conversations.js';
import { inTransaction } from '../store/transaction.js';
import { carryOut } from './effects.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import { openTurns } from './turn.js';

/**
 * Rings the timer of a conversation whose family has been silent. Nothing happens when the family answered meanwhile:
 * that took the timer off or moved it.
 */
export async function wake(jobs: Jobs, id: string): Promise<void> {
  const now = jobs.now();
  const guardianId = await guardianOfConversation(jobs.store, id);
  if (guardianId === null) return;
  const follow = await inTransaction(jobs.store, async (tx) => {
    const turn = (await openTurns(tx, jobs.core, [guardianId], now)).get(guardianId);
    const conversation = await toWake(tx, id, now);
    if (turn === undefined || conversation?.wake == null) return {};
    const facts = { ...turn.facts, asked: conversation.asked };
    const pending = turn.question?.id === conversation.id ? null : turn.question;
    const { reason } = conversation.wake;
    const step = jobs.core.onWake({ conversation, pending, reason, facts, now });
    // A step that keeps nothing has still been taken: its timer must not ring for ever.
    const kept = step.conversation ?? { ...conversation, state: 'done' as const };
    const deed = { guardianId, who: turn.who, before: conversation, step: { ...step, conversation: kept } };
    return carryOut(tx, jobs.core, [{ ...deed, textInId: null, plannedTextId: null }], now);
  });
  await tellQueues(jobs, follow);
}
