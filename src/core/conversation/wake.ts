import { DateTime } from 'luxon';
import type { Step, StoredConversation } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import { MATTERS } from '../model/flag.js';
import { advance, begin, type Place } from './machine.js';
import { type Restored, restore } from './restore.js';
import { ask, byName, raiseAll, silenceOf, store, type Turn } from './turn.js';

export interface Wake {
  readonly reason: 'repeat' | 'silence' | 'follow-up';
  /** The conversation whose timer it is. */
  readonly conversation: StoredConversation | null;
  /** Another conversation of this guardian that is asking meanwhile, if any. */
  readonly pending?: StoredConversation | null;
}

const LATER_MS = 6 * 3_600_000;

/** A timer of a conversation has come: repeat gently, hand to a person, or ask whether it got better. Pure. */
export function wakeUp(turn: Turn, input: Wake): Step {
  const { conversation } = input;
  if (!conversation) return { conversation: null, effects: [] };
  const child = turn.facts.children.find(({ id }) => id === conversation.childId) ?? null;
  const restored = restore(turn.definitions, conversation);
  if (!restored) {
    const effects = raiseAll(byName(turn, child, 'cannot-restore'), child);
    return { conversation: { ...conversation, state: 'done', asked: 'open' }, effects };
  }
  if (input.reason === 'follow-up') return followUp(turn, input, restored, child);
  if (restored.place.kind !== 'question') return { conversation: null, effects: [] };
  return silence(turn, restored, child, input.reason);
}

function silence(
  turn: Turn,
  { definition, place }: Restored,
  child: ChildFacts | null,
  reason: Wake['reason'],
): Step {
  const repeated = advance(definition, place, { type: 'silence' });
  const mayRepeat = reason === 'repeat' && repeated.kind === 'question' && mayText(turn);
  if (mayRepeat) {
    return {
      conversation: store(definition, repeated, child),
      effects: ask(turn, definition, repeated, child, { lane: 'check-in' }),
    };
  }
  return giveUp(turn, definition, place, child);
}

/** Silence goes to a person, about the matter the question was about if there was one. */
function giveUp(turn: Turn, definition: Restored['definition'], from: Place, child: ChildFacts | null): Step {
  let ended = from;
  while (ended.kind === 'question') ended = advance(definition, ended, { type: 'silence' });
  const { raises } = silenceOf(definition, child, from.name);
  const matter = MATTERS.find((one) => one === from.context.about.matter);
  const found = raises === null ? [] : byName(turn, child, raises);
  const effects = raiseAll(
    found.map((one) => (matter ? { ...one, flag: { ...one.flag, matter } } : one)),
    child,
  );
  return { conversation: store(definition, ended, child), effects };
}

/** Repeats are not sent in quiet or outside sending hours: a person is asked to call instead. */
function mayText({ facts, now }: Turn): boolean {
  const { guardian, clinic } = facts;
  if (guardian.isStopped || (guardian.quietUntil !== null && now < guardian.quietUntil)) return false;
  const clock = DateTime.fromMillis(now, { zone: clinic.timeZone }).toFormat('HH:mm');
  return clock >= clinic.sendingFrom && clock < clinic.sendingTo;
}

/** A day after a matter was closed the family is asked once whether it got better. */
function followUp(turn: Turn, input: Wake, { place }: Restored, child: ChildFacts | null): Step {
  if (!mayText(turn) || input.pending?.state === 'asking') {
    return {
      conversation: null,
      effects: [{ type: 'wake-at', at: turn.now + LATER_MS, reason: 'follow-up' }],
    };
  }
  const door = turn.definitions.current['open-door'];
  const next = begin(door, 'better', place.context.about);
  return {
    conversation: store(door, next, child),
    effects: ask(turn, door, next, child, { lane: 'check-in' }),
  };
}
