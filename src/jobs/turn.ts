import type { StepFacts } from '../core/model/family.js';
import type { GuardianId } from '../core/model/ids.js';
import { type KnownConversation, standingQuestions } from '../store/conversations.js';
import { factsOf, type GuardianNow } from '../store/facts.js';
import { lockGuardians } from '../store/families.js';
import type { Store } from '../store/store.js';
import type { Core } from './core.js';

/** A guardian whose turn it is: locked, with all that is known and the question that stands. */
export interface Turn {
  readonly guardianId: GuardianId;
  readonly who: GuardianNow;
  readonly question: KnownConversation | null;
  readonly facts: StepFacts;
}

/**
 * Locks these guardians and looks up what one step of each may know. The lock makes two texts of one family, or a text
 * and a timer, happen one after the other; everything else about a family is locked after it, so nobody waits in a
 * circle.
 */
export async function openTurns(
  tx: Store,
  core: Core,
  ids: readonly GuardianId[],
  now: number,
): Promise<ReadonlyMap<GuardianId, Turn>> {
  const locked = await lockGuardians(tx, ids);
  const known = await factsOf(tx, locked, core.standingOf, now);
  const questions = await standingQuestions(tx, locked);
  const turns = new Map<GuardianId, Turn>();
  for (const [guardianId, who] of known) {
    const question = questions.get(guardianId) ?? null;
    turns.set(guardianId, {
      guardianId,
      who,
      question,
      facts: { ...who.facts, asked: question?.asked ?? 'open' },
    });
  }
  return turns;
}
