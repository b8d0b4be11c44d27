import type { Effect, Step } from '../model/effects.js';
import { saysSomething } from '../triage/condition.js';
import { answered, isOnlyUnread, mistakenFor, unanswered } from './asking.js';
import { betterNotes, familyText, openQuestion, politeReply } from './replies.js';
import { closed, onBegin, onDeath, onLanguage, onStop, onWrongNumber } from './set-words.js';
import { byName, raiseAll, type Turn, text } from './turn.js';
import { type TextIn, type Understood, understand } from './understood.js';
import { recordWear } from './wear.js';

/** The step after a text: danger first, then set words, then the open question, then the open door. Pure. */
export function respond(turn: Turn, input: TextIn): Step {
  const said = understand(turn, input);
  if (said.found.some(({ flag }) => flag.matter === 'died')) {
    return onDeath(turn, said);
  }
  const step = isRed(said) ? redStep(turn, said) : (setWords(turn, said) ?? plainStep(turn, said));
  const mistaken = mistakenFor(said);
  return withLostThread(turn, said, { ...step, effects: [...mistaken, ...step.effects] });
}

function isRed({ found }: Understood): boolean {
  return found.some(({ flag }) => flag.urgency === 'now');
}

/** Danger: every flag, the safety text at once, then at most one question. */
function redStep(turn: Turn, said: Understood): Step {
  const { child } = said;
  const effects: Effect[] = raiseAll(said.found, child);
  const top = said.found.find(({ flag }) => flag.urgency === 'now');
  const wording = top?.rule.family ?? 'go-now';
  effects.push(text(turn, { wording, child, lane: 'safety' }));
  effects.push(...recordWear(turn, child, said.meant));
  if (said.reading.intent === 'stop') {
    const stop = onStop(turn, child, said.conversation);
    return { conversation: stop.conversation, effects: [...effects, ...stop.effects] };
  }
  const isAsking = said.open?.definition.name === 'open-door' && !said.heard;
  if (isAsking && !said.isUnsureWhose) return { conversation: null, effects };
  const question = said.isUnsureWhose ? 'which-child' : top?.rule.ask;
  if (!question || turn.facts.guardian.isStopped) {
    return { conversation: closed(turn, said.conversation), effects };
  }
  const next = openQuestion(turn, said, question, top);
  return { conversation: next.conversation, effects: [...effects, ...next.effects] };
}

function setWords(turn: Turn, said: Understood): Step | null {
  const { answers } = turn.definitions;
  const { guardian } = turn.facts;
  const { child, conversation, reading } = said;
  if (guardian.isStopped && answers.asksToBegin(said.text, guardian.language))
    return withFlags(said, onBegin(turn));
  if (reading.intent === 'stop') {
    const stop = onStop(turn, child, conversation);
    return { ...stop, effects: [...raiseAll(said.found, child), ...stop.effects] };
  }
  if (reading.intent === 'wrong-number') {
    const wrong = onWrongNumber(turn, child, conversation);
    return { ...wrong, effects: [...raiseAll(said.found, child), ...wrong.effects] };
  }
  const language = said.heard ? null : answers.asksForLanguage(said.text);
  return language === null ? null : withFlags(said, onLanguage(turn, language));
}

/** A set word is understood, so it is not unread; whatever else was read in the text still counts. */
function withFlags({ found, child }: Understood, step: Step): Step {
  const others = found.filter((one) => !isOnlyUnread(one));
  return { ...step, effects: [...raiseAll(others, child), ...step.effects] };
}

function plainStep(turn: Turn, said: Understood): Step {
  if (isSilenced(turn)) return unspoken(turn, said);
  if (said.open && said.heard) return answered(turn, said, said.open, said.heard);
  if (said.open) return unanswered(turn, said, said.open);
  return atTheDoor(turn, said);
}

/** A number that takes no texts, or is left in peace, is read but not answered. */
function isSilenced({ facts, now }: Turn): boolean {
  const { isStopped, quietUntil } = facts.guardian;
  return isStopped || (quietUntil !== null && now < quietUntil);
}

/** Read, flagged and noted, without a reply. */
function unspoken(turn: Turn, said: Understood): Step {
  const effects = [...raiseAll(said.found, said.child), ...recordWear(turn, said.child, said.meant)];
  return { conversation: null, effects: [...effects, ...betterNotes(turn, said)] };
}

/** A text when nothing was asked. */
function atTheDoor(turn: Turn, said: Understood): Step {
  const { child, found, meant } = said;
  const effects: Effect[] = [...raiseAll(found, child)];
  if (said.isUnsureWhose && (saysSomething(meant) || found.length > 0)) {
    const next = openQuestion(turn, said, 'which-child', found[0]);
    return { conversation: next.conversation, effects: [...effects, ...next.effects] };
  }
  const wear = recordWear(turn, child, meant);
  effects.push(...wear, ...betterNotes(turn, said));
  if (isStray(said, wear)) return strayNumber(turn, child);
  const reply = familyText(turn, found, child);
  const question = found[0]?.rule.ask;
  if (question) {
    const next = openQuestion(turn, said, question, found[0]);
    return { conversation: next.conversation, effects: [...effects, ...reply, ...next.effects] };
  }
  return {
    conversation: null,
    effects: [...effects, ...(reply.length > 0 ? reply : politeReply(turn, said))],
  };
}

/** Hours of wear told about a child that wears no brace: more likely some other number. */
function isStray({ meant, found }: Understood, wear: readonly Effect[]): boolean {
  return meant.hours !== null && meant.intent === null && wear.length === 0 && found.length === 0;
}

function strayNumber(turn: Turn, child: Understood['child']): Step {
  const unread = byName(turn, child, 'unread');
  return { conversation: null, effects: [...raiseAll(unread, child), ...familyText(turn, unread, child)] };
}

/** A stored conversation that does not fit its definition goes to a person, never into silence. */
function withLostThread(turn: Turn, said: Understood, step: Step): Step {
  const isLost = said.conversation?.state === 'asking' && said.open === null;
  if (!isLost || !said.conversation) return step;
  const lost = raiseAll(byName(turn, said.child, 'cannot-restore'), said.child);
  const hasUnread = step.effects.some((one) => one.type === 'raise-flag' && one.flag.matter === 'unread');
  const conversation = step.conversation ?? { ...said.conversation, state: 'done', asked: 'open' };
  return { conversation, effects: [...step.effects, ...(hasUnread ? [] : lost)] };
}
