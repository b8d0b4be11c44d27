import type { Effect, Step } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import { MATTERS } from '../model/flag.js';
import type { Reading } from '../model/reading.js';
import type { Finding } from '../triage/triage.js';
import { type Heard, hearContent } from './hear.js';
import { advance, type Place } from './machine.js';
import { betterNotes, familyText, openQuestion } from './replies.js';
import type { Restored } from './restore.js';
import { ask, byName, raiseAll, store, type Turn, text } from './turn.js';
import type { Understood } from './understood.js';
import { recordWear } from './wear.js';

/** The step after an answer to the open question: on to what follows, past whatever has been told already. */
export function answered(turn: Turn, said: Understood, open: Restored, heard: Heard): Step {
  const { definition } = open;
  if (heard.answer.child !== null) return childNamed(turn, said, open, heard);
  const answeredPlace = advance(definition, open.place, { type: `answer:${heard.name}` });
  const place = passTold(open, answeredPlace, said.meant, heard);
  const { child, found } = said;
  const effects: Effect[] = [...raiseAll(found, child), ...recordWear(turn, child, said.meant)];
  effects.push(...(about(open) ? noteToFlag(said, open) : betterNotes(turn, said)));
  if (place.kind === 'question') {
    effects.push(...familyText(turn, found.filter(isAtLeastToday), child));
    effects.push(...ask(turn, definition, place, child, { lane: 'answer' }));
    return { conversation: store(definition, place, child), effects };
  }
  const further = found.find(({ rule }) => rule.ask !== null);
  if (further?.rule.ask && definition.name !== 'open-door') {
    const next = openQuestion(turn, said, further.rule.ask, further);
    return {
      conversation: next.conversation,
      effects: [...effects, ...familyText(turn, found, child), ...next.effects],
    };
  }
  effects.push(...ending(turn, open, place, child, found));
  return { conversation: store(definition, place, child), effects };
}

function isAtLeastToday({ flag }: Finding): boolean {
  return flag.urgency !== 'soon';
}

/** Skips questions that this text or an earlier one has answered by its content. */
function passTold({ definition }: Restored, from: Place, reading: Reading, heard: Heard): Place {
  let place = from;
  const seen = new Set<string>();
  while (place.kind === 'question' && !seen.has(place.name)) {
    seen.add(place.name);
    const question = definition.questions[place.name];
    const now = heard.by === 'content' && question ? hearContent(question, withoutIntent(reading)) : null;
    const answer = now?.name ?? place.context.aside[place.name];
    if (!answer || !question?.answers[answer]) return place;
    place = advance(definition, place, { type: `answer:${answer}` });
  }
  return place;
}

/** "All fine" answers the question that was asked, not those still to come. */
function withoutIntent(reading: Reading): Reading {
  return { ...reading, intent: null };
}

/** Remembers answers to questions of this check-in that have not been asked. */
export function hearAside(open: Restored, reading: Reading): { place: Place; isHeard: boolean } {
  let { place } = open;
  let isHeard = false;
  for (const [name, question] of Object.entries(open.definition.questions)) {
    if (open.definition.name === 'open-door' || (place.kind === 'question' && place.name === name)) continue;
    const heard = hearContent(question, withoutIntent(reading));
    if (!heard) continue;
    isHeard = true;
    place = advance(open.definition, place, { type: 'aside:heard', question: name, answer: heard.name });
  }
  return { place, isHeard };
}

function about({ place }: Restored): boolean {
  return place.context.about.matter !== undefined;
}

/** An answer to a follow-up is written beside the flag it was about. */
function noteToFlag({ child, text: words }: Understood, { place }: Restored): Effect[] {
  const known = MATTERS.find((one) => one === place.context.about.matter);
  if (!known) return [];
  return [
    {
      type: 'add-to-flag',
      childId: child?.id ?? null,
      matter: known,
      note: `The family answers: "${words}"`,
    },
  ];
}

function ending(
  turn: Turn,
  open: Restored,
  place: Place,
  child: ChildFacts | null,
  found: readonly Finding[],
): Effect[] {
  const end = open.definition.ends[place.name];
  const reply = familyText(turn, found, child);
  if (reply.length > 0) return reply;
  const needsPerson = end?.outcome === 'person' && found.length === 0 && !open.place.context.about.matter;
  const effects: Effect[] = needsPerson ? raiseAll(byName(turn, child, 'unclear-twice'), child) : [];
  if (end?.text) {
    effects.push(text(turn, { wording: end.text, child, lane: 'answer', definition: open.definition }));
  }
  return effects;
}

/** "Which child?" answered without danger: what was held has been judged for that child and is carried out. */
function childNamed(turn: Turn, said: Understood, open: Restored, heard: Heard): Step {
  const { child, found, meant } = said;
  const place = advance(open.definition, open.place, { type: `answer:${heard.name}` });
  const effects: Effect[] = [...raiseAll(found, child), ...recordWear(turn, child, meant)];
  effects.push(...betterNotes(turn, said), ...familyText(turn, found, child));
  return { conversation: store(open.definition, place, child), effects };
}

/** The flag first raised for another child stays; the nurse reads whom the family meant. */
export function mistakenFor({ open, heard, conversation, child }: Understood): Effect[] {
  const first = conversation?.childId ?? null;
  const matter = MATTERS.find((one) => one === open?.place.context.about.matter);
  if (!matter || !child || heard?.answer.child == null || first === child.id) return [];
  const note = `The family says this was about ${child.calledInTexts}.`;
  return [{ type: 'add-to-flag', childId: first, matter, note }];
}

/** A text that is no answer to the open question: used when it says something, else asked again, else a person. */
export function unanswered(turn: Turn, said: Understood, open: Restored): Step {
  const { child, meant } = said;
  const found = said.found.filter((one) => !isOnlyUnread(one));
  const aside = hearAside(open, meant);
  const wear = recordWear(turn, child, meant);
  const isUsed = found.length > 0 || aside.isHeard || wear.length > 0 || isNews(meant);
  if (isUsed) {
    const reply = familyText(turn, found, child);
    const again =
      reply.length === 0 && aside.isHeard
        ? ask(turn, open.definition, asAgain(aside.place), child, { lane: 'answer' })
        : [];
    return {
      conversation: store(open.definition, aside.place, child),
      effects: [...raiseAll(found, child), ...wear, ...betterNotes(turn, said), ...reply, ...again],
    };
  }
  if (meant.intent === 'thanks') return { conversation: null, effects: [] };
  const place = advance(open.definition, open.place, { type: 'unclear' });
  const conversation = store(open.definition, place, child);
  if (place.kind === 'question') {
    const unread = isForeign(said) ? said.found.filter(isOnlyUnread) : [];
    const again = ask(turn, open.definition, place, child, { lane: 'answer' });
    return { conversation, effects: [...raiseAll(unread, child), ...again] };
  }
  const unclear = byName(turn, child, 'unclear-twice');
  return { conversation, effects: [...raiseAll(unclear, child), ...familyText(turn, unclear, child)] };
}

/** An intent that tells something by itself; what needs a person has been flagged already. */
function isNews({ intent }: Reading): boolean {
  return intent !== null && intent !== 'all-well' && intent !== 'thanks';
}

/** Not understood, and not alarming: the question is asked once more before a person is troubled. */
export function isOnlyUnread({ rule, isLifted }: Finding): boolean {
  return rule.when['understood-below'] !== null && !isLifted;
}

/** Words, and not one of them known: it may be a language nobody taught the reader, so a person looks at once. */
function isForeign({ reading, text: words }: Understood): boolean {
  return reading.understood === 0 && /\p{L}{3}/u.test(words);
}

function asAgain(place: Place): Place {
  return place.kind === 'question' ? { ...place, asking: 'rephrased' } : place;
}
