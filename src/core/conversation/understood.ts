import type { StoredConversation } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import { MATTERS } from '../model/flag.js';
import type { Reading } from '../model/reading.js';
import { higherUrgency, SIGNS } from '../model/signs.js';
import { type Finding, findings } from '../triage/triage.js';
import type { Answer, Definition, Question } from './definition.js';
import { type Heard, hear } from './hear.js';
import { type Restored, restore } from './restore.js';
import { mattersOf, type Turn } from './turn.js';
import { childrenMeant, isNamed } from './which-child.js';

export interface TextIn {
  readonly reading: Reading;
  readonly text: string;
  readonly conversation: StoredConversation | null;
}

/** One text of a guardian, understood against what stands open. */
export interface Understood extends TextIn {
  /** The reading that counts: a digit or a yes stands for the signs its answer means. */
  readonly meant: Reading;
  readonly open: Restored | null;
  readonly heard: Heard | null;
  readonly child: ChildFacts | null;
  /** More than one child may be meant. */
  readonly isUnsureWhose: boolean;
  readonly found: readonly Finding[];
}

/** Reads a text against the open question and the children it may be about, and judges it. Pure. */
export function understand(turn: Turn, input: TextIn): Understood {
  const { reading, conversation } = input;
  const open = conversation?.state === 'asking' ? restore(turn.definitions, conversation) : null;
  const question = open?.place.kind === 'question' ? open.definition.questions[open.place.name] : undefined;
  const heard = open && question ? hearHere(turn, open.definition, question, input) : null;
  const meant = withHeld(meaning(reading, heard, input.text), heard, open);
  const asksWhose = Object.values(question?.answers ?? {}).some(({ child }) => child !== null);
  const askedAbout = turn.facts.children.find(({ id }) => id === conversation?.childId) ?? null;
  const about = open && !asksWhose ? askedAbout : null;
  const chosenChild = heard?.answer.child ? turn.facts.children[heard.answer.child - 1] : undefined;
  const whose = chosenChild ? [chosenChild] : childrenMeant(turn.facts.children, meant, input.text, about);
  const raises = heard?.answer.raises ? [heard.answer.raises] : [];
  const words = `${heard?.answer.child == null ? '' : (open?.place.context.about.words ?? '')} ${input.text}`;
  const judged = whose.map((child) => ({ child, found: judge(turn, child, meant, words, raises) }));
  const [first] = judged.toSorted((a, b) => weight(b.found) - weight(a.found));
  const child = first?.child ?? null;
  const found = first?.found ?? judge(turn, null, meant, words, raises);
  return {
    ...input,
    meant,
    open,
    heard,
    child,
    isUnsureWhose: whose.length > 1,
    found: found.map((one) => aboutMatter(one, open)),
  };
}

function judge(
  turn: Turn,
  child: ChildFacts | null,
  reading: Reading,
  words: string,
  raises: readonly string[],
) {
  return findings(turn.rules, {
    reading,
    text: words,
    child,
    clinic: turn.facts.clinic,
    openMatters: mattersOf(turn.facts, child),
    now: turn.now,
    byName: raises,
  });
}

function weight(found: readonly Finding[]): number {
  const points = { now: 10_000, today: 100, soon: 1 };
  return found.reduce((sum, { flag }) => sum + points[flag.urgency], 0);
}

/** An answer that raises a rule of its own is not judged by its intent as well. */
function meaning(reading: Reading, heard: Heard | null, words: string): Reading {
  if (!heard) return reading;
  if (heard.by === 'choice') return chosen(reading, heard.answer, words);
  const isSaidByRule =
    heard.answer.raises !== null && heard.answer.intents.some((one) => one === reading.intent);
  return isSaidByRule ? { ...reading, intent: null } : reading;
}

/** "Which child?" answered: what was said before the question counts together with what is said now. */
function withHeld(reading: Reading, heard: Heard | null, open: Restored | null): Reading {
  const json = open?.place.context.about.held;
  if (!heard || heard.answer.child === null || json === undefined) return reading;
  const held = JSON.parse(json) as Reading;
  const signs = SIGNS.filter((sign) => held.signs.includes(sign) || reading.signs.includes(sign));
  return {
    ...held,
    signs,
    denied: held.denied.filter((sign) => !signs.includes(sign)),
    hours: reading.hours ?? held.hours,
    intent: held.intent ?? reading.intent,
    urgency: higherUrgency(held.urgency, reading.urgency),
    evidence: reading.evidence,
  };
}

/** A digit, a yes or a no read as what its answer stands for; the whole text is the evidence. */
function chosen(reading: Reading, answer: Answer, words: string): Reading {
  const evidence = answer.means.map((sign) => ({ sign, start: 0, end: words.length }));
  return {
    ...reading,
    signs: answer.means,
    denied: answer.denies,
    intent: answer.raises === null ? (answer.intents[0] ?? null) : null,
    urgency: 'none',
    hours: null,
    understood: 1,
    evidence,
    unread: [],
  };
}

/** A rule raised by the answer to a follow-up keeps the matter the follow-up was about. */
function aboutMatter(finding: Finding, open: Restored | null): Finding {
  const matter = MATTERS.find((one) => one === open?.place.context.about.matter);
  const isFollowUp = finding.rule.id === 'not-better' || finding.rule.id === 'cannot-go';
  return matter && isFollowUp ? { ...finding, flag: { ...finding.flag, matter } } : finding;
}

function hearHere(
  turn: Turn,
  definition: Definition,
  question: Question,
  { reading, text }: TextIn,
): Heard | null {
  return (
    hearNamed(turn, question, text) ?? hear(definition, question, reading, text, turn.definitions.answers)
  );
}

/** "Which child?" may be answered with the child's name. */
function hearNamed(turn: Turn, question: Question, words: string): Heard | null {
  for (const [name, answer] of Object.entries(question.answers)) {
    const child = answer.child === null ? undefined : turn.facts.children[answer.child - 1];
    if (child && isNamed(child.calledInTexts, words)) return { name, answer, by: 'content' };
  }
  return null;
}
