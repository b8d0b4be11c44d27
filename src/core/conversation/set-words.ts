import type { Effect, Step, StoredConversation } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import { advance } from './machine.js';
import { restore } from './restore.js';
import { byName, raiseAll, store, type Turn, text } from './turn.js';
import type { Understood } from './understood.js';

/** So long a family in mourning gets only safety texts about its other children. Common practice, no source. */
const MOURNING_MS = 14 * 86_400_000;

/**
 * A death: every text about this child stops at once and a person is told; when it is not sure which child is meant,
 * every text to this phone stops. Nothing is answered automatically: what a machine would say cannot be right, and
 * were the words misread, nothing hurtful has gone out.
 */
export function onDeath(
  turn: Turn,
  { child, found, reading, conversation, isUnsureWhose }: Understood,
): Step {
  const effects: Effect[] = [...raiseAll(found, child)];
  effects.push({ type: 'stop-texts', scope: 'child', childId: child?.id ?? null, why: 'died' });
  if (turn.facts.children.length > 1) {
    effects.push({ type: 'be-quiet-until', at: turn.now + MOURNING_MS, why: 'mourning' });
  }
  if (reading.intent === 'stop' || isUnsureWhose) {
    effects.push({ type: 'stop-texts', scope: 'number', childId: null, why: 'died' });
  }
  return { conversation: closed(turn, conversation), effects };
}

/** Opt-out of the number: stop first, then one confirmation that says how to begin again and whom to call. */
export function onStop(turn: Turn, child: ChildFacts | null, conversation: StoredConversation | null): Step {
  const effects: Effect[] = [
    ...raiseAll(byName(turn, child, 'opted-out'), child),
    { type: 'stop-texts', scope: 'number', childId: null, why: 'opted-out' },
  ];
  if (!turn.facts.guardian.isStopped)
    effects.push(text(turn, { wording: 'stopped', child: null, lane: 'answer' }));
  return { conversation: closed(turn, conversation), effects };
}

export function onWrongNumber(
  turn: Turn,
  child: ChildFacts | null,
  conversation: StoredConversation | null,
): Step {
  const effects: Effect[] = [
    ...raiseAll(byName(turn, child, 'wrong-number'), child),
    { type: 'stop-texts', scope: 'number', childId: null, why: 'wrong-number' },
    text(turn, { wording: 'wrong-number', child: null, lane: 'answer' }),
  ];
  return { conversation: closed(turn, conversation), effects };
}

/** START after a stop. */
export function onBegin(turn: Turn): Step {
  const effects: Effect[] = [
    { type: 'resume-texts' },
    text(turn, { wording: 'started', child: null, lane: 'answer' }),
  ];
  return { conversation: null, effects };
}

export function onLanguage(turn: Turn, language: string): Step {
  const effects: Effect[] = [
    { type: 'set-language', language },
    text(turn, { wording: 'language-set', child: null, lane: 'answer', language }),
  ];
  return { conversation: null, effects };
}

/** The conversation ended without a further text, or null when none was asking. */
export function closed(turn: Turn, conversation: StoredConversation | null): StoredConversation | null {
  if (conversation?.state !== 'asking') return null;
  const restored = restore(turn.definitions, conversation);
  if (!restored) return { ...conversation, state: 'done', asked: 'open' };
  const place = advance(restored.definition, restored.place, { type: 'stopped' });
  return { ...store(restored.definition, place, null), childId: conversation.childId };
}
