import { INTENTS, type Intent } from '../model/signs.js';
import type { Matched } from './match.js';
import type { Circumstances, SignsFound } from './signs.js';
import { has, type Structure } from './structure.js';

/**
 * The one intent of a text, by what it asks of us: an opt-out beats all, a fault in who we write to comes next, then
 * what hinders the visit, then what is wanted, then courtesy. Where several stand, the first of this list counts.
 */
const PRECEDENCE: readonly Intent[] = [
  'stop',
  'wrong-number',
  'moved',
  'cost',
  'cannot-come',
  'call-me',
  'question',
  'other-person-news',
  'coming',
  'all-well',
  'thanks',
];

/** Decides the intent from whole phrases, from what states gave, and from what was asked. */
export function intentOf(
  matched: Matched,
  structure: Structure,
  signs: SignsFound,
  circumstances: Circumstances,
  facts: { readonly isOptOut: boolean; readonly hasHours: boolean },
): Intent | null {
  if (facts.isOptOut) return 'stop';
  const said = new Set<Intent>(signs.intents.keys());
  for (const [at, item] of matched.items.entries())
    for (const concept of item.concepts) {
      if (concept.kind !== 'intent') continue;
      const intent = concept.name;
      if (isIntent(intent) && !(intent === 'all-well' && isDenied(structure, at))) said.add(intent);
    }
  const hasSign = signs.there.length > 0;
  const isDead = signs.there.some(({ sign }) => sign === 'died');
  if (isDead) return said.has('stop') ? 'stop' : null;
  if (hasSign) for (const intent of ['all-well', 'thanks', 'other-person-news'] as const) said.delete(intent);
  if (signs.elsewhere.length > 0 && !hasSign) said.add('other-person-news');
  if (!hasSign) addFromAnswer(said, matched, structure, signs, circumstances, facts.hasHours);
  for (const intent of PRECEDENCE) if (said.has(intent)) return intent;
  return null;
}

function isIntent(name: string): name is Intent {
  return (INTENTS as readonly string[]).includes(name);
}

function isDenied(structure: Structure, at: number): boolean {
  const before = structure.items[at - 1];
  return (
    before !== undefined && structure.segmentOf[at - 1] === structure.segmentOf[at] && has(before, 'not')
  );
}

function addFromAnswer(
  said: Set<Intent>,
  matched: Matched,
  structure: Structure,
  signs: SignsFound,
  { asked }: Circumstances,
  hasHours: boolean,
): void {
  const isMark = (name: string) => matched.items.some((item) => has(item, name));
  const isQuestion = matched.recognised > 0 && structure.items.some((item) => item.kind === 'question');
  const isSettled = [...said].some((intent) => intent !== 'thanks' && intent !== 'all-well');
  if (asked === 'visit' && !isSettled) {
    const answer = visitAnswer(matched, signs, isMark);
    if (answer) said.add(answer);
  }
  if (isQuestion && !isMark('greeting') && !hasHours && [...said].every((intent) => intent === 'thanks'))
    said.add('question');
  const isWell = signs.well.some((item) =>
    ['fine', 'happy', 'accept', 'warm', 'pink', 'dry', 'clean', 'whole', 'move', 'see', 'stay', 'fit'].some(
      (name) => has(item, name),
    ),
  );
  const isAllDenied = signs.denied.length > 0 || signs.over.length > 0;
  if (said.size === 0 || (said.size === 1 && said.has('thanks') && (isAllDenied || isWell)))
    if ((isWell && signs.unclear.length === 0) || isAllDenied) {
      if (!(hasHours && !isAllDenied)) said.add('all-well');
    }
}

/** Coming or not, from the little that is said when the visit was asked about: "no", "not monday", "ok", "tues 10am". */
function visitAnswer(
  matched: Matched,
  signs: SignsFound,
  isMark: (name: string) => boolean,
): 'coming' | 'cannot-come' | null {
  const isTimed = isMark('day-name') || isMark('clock') || isMark('morning') || isMark('afternoon');
  const isNegated = isMark('not') || isMark('no') || isMark('answer-no');
  const isShort = matched.words.length <= SHORT_ANSWER;
  if (isNegated) return isTimed || isShort ? 'cannot-come' : null;
  const isAgreed = isMark('answer-yes') || signs.well.some((item) => has(item, 'come') || has(item, 'fine'));
  return isTimed || isAgreed ? 'coming' : null;
}

/** A "no" with hardly a word around it answers the question that was asked. */
const SHORT_ANSWER = 3;
