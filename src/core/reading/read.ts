import type { Evidence, Reading, Span, TextToRead } from '../model/reading.js';
import { higherUrgency, SIGNS, type Sign, type Urgency } from '../model/signs.js';
import type { CompiledLanguages } from './compile.js';
import { wholeOf } from './digest.js';
import { hoursOf } from './hours.js';
import { intentOf } from './intents.js';
import { type Item, type Matched, match } from './match.js';
import { type Folded, fold } from './normalise.js';
import { isNumber } from './numbers.js';
import { type Found, type SignsFound, signsOf } from './signs.js';
import { statementsOf } from './statements.js';
import { has, type Structure } from './structure.js';
import { tokenise } from './tokens.js';
import { understoodOf } from './understood.js';
import { urgencyOf } from './urgency.js';

/** Opt-out words are whole messages; longer ones are read as sentences. */
const LONGEST_OPT_OUT = 40;

/**
 * Reads one text of a family: which signs it says are there or not, hours of wear, what it wants, and how urgent that
 * is. Pure and deterministic; never throws on any text. Evidence and unread spans are UTF-16 offsets of `input.text`.
 */
export function readText(compiled: CompiledLanguages, input: TextToRead): Reading {
  const asked = input.asked ?? 'open';
  const phase = input.phase ?? null;
  const folded = fold(input.text);
  const tokens = tokenise(folded, (word) => compiled.known.has(word));
  const matched = match(compiled, tokens, input.lang);
  const structure = statementsOf(matched);
  const signs = signsOf(compiled, structure, { asked, phase });
  const hours = hoursOf(matched, structure, asked, phase);
  const there = withConsequences(signs, hours.hours, hours.degrees);
  const denied = new Set(signs.denied.map(({ sign }) => sign).filter((sign) => !there.has(sign)));
  const isOptOut = isOptOutWord(compiled, folded);
  const intent = intentOf(
    matched,
    structure,
    { ...signs, there: [...there].map((sign) => ({ sign, items: [] })) },
    { asked, phase },
    {
      isOptOut,
      hasHours: hours.hours !== null,
    },
  );
  const worn =
    hours.hours ??
    (there.has('brace-not-worn') && (phase === 'brace-day' || phase === 'brace-night') ? 0 : null);
  const leastHours = typeof worn === 'object' ? (worn?.[0] ?? null) : worn;
  const marks = marksOf(matched, structure);
  const judged = urgencyOf(compiled.urgency, { signs: there, intent, phase, leastHours, marks });
  const concluded =
    there.size + denied.size > 0 ||
    signs.over.length > 0 ||
    intent !== null ||
    worn !== null ||
    marks.has('all-night');
  const { understood, needsPerson } = understoodOf(matched, {
    concluded,
    isGreeting: marks.has('greeting'),
    isBenign: judged === 'none',
    unclear: signs.unclear.length,
  });
  const urgency: Urgency = needsPerson ? higherUrgency(judged, 'soon') : judged;
  return {
    signs: SIGNS.filter((sign) => there.has(sign)),
    denied: SIGNS.filter((sign) => denied.has(sign)),
    hours: worn,
    intent,
    urgency,
    understood,
    evidence: evidenceOf(folded, signs, there),
    language: matched.main.code,
    unread: matched.unread.map((span) => original(folded, span.from, span.to)),
  };
}

/** Signs said, and those that follow from numbers: no hours at all is a brace not worn, 38 °C is a fever. */
function withConsequences(signs: SignsFound, hours: Reading['hours'], degrees: number | null): Set<Sign> {
  const there = new Set(signs.there.map(({ sign }) => sign));
  if (hours === 0) there.add('brace-not-worn');
  if (degrees !== null && degrees >= 38) there.add('fever');
  return there;
}

function isOptOutWord(compiled: CompiledLanguages, folded: Folded): boolean {
  return folded.text.length <= LONGEST_OPT_OUT && compiled.stopWords.has(wholeOf(folded.text));
}

/** Concepts that colour the urgency: said and not denied. Blood that "will not stop" is much blood. */
function marksOf(matched: Matched, structure: Structure): Set<string> {
  const marks = new Set<string>();
  for (const item of matched.items)
    for (const concept of item.concepts) if (concept.kind === 'mark') marks.add(concept.name);
  for (const statement of structure.statements)
    if (statement.goesOn && statement.concept.name === 'bleeding') marks.add('much');
  const until = matched.items.findIndex((item) => has(item, 'until'));
  const after = until < 0 ? [] : matched.items.slice(until);
  if (after.some((item) => has(item, 'morning')) && !after.some(isNumber)) marks.add('all-night');
  return marks;
}

function evidenceOf(folded: Folded, signs: SignsFound, there: ReadonlySet<Sign>): Evidence[] {
  const evidence: Evidence[] = [];
  const seen = new Set<string>();
  for (const { sign, items } of signs.there) {
    if (!there.has(sign)) continue;
    for (const span of spansOf(folded, items)) {
      const key = `${sign} ${span.start} ${span.end}`;
      if (seen.has(key)) continue;
      seen.add(key);
      evidence.push({ sign, ...span });
    }
  }
  return evidence.sort((one, other) => one.start - other.start || one.end - other.end);
}

/** The spans of some items; neighbours become one. */
function spansOf(folded: Folded, items: Found['items']): Span[] {
  const sorted = [...new Set<Item>(items)].sort((one, other) => one.cellFrom - other.cellFrom);
  const spans: { start: number; end: number; cellTo: number }[] = [];
  for (const item of sorted) {
    const span = original(folded, item.from, item.to);
    const before = spans.at(-1);
    if (before && item.cellFrom - before.cellTo <= 1) {
      before.end = Math.max(before.end, span.end);
      before.cellTo = Math.max(before.cellTo, item.cellTo);
    } else spans.push({ ...span, cellTo: item.cellTo });
  }
  return spans.map(({ start, end }) => ({ start, end }));
}

/** The stretch of the original text that a stretch of the folded text came from. */
function original(folded: Folded, from: number, to: number): Span {
  const start = folded.starts[from] ?? 0;
  const end = folded.ends[Math.max(from, to - 1)] ?? start;
  return { start, end };
}
