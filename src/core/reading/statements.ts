import type { Item, Matched } from './match.js';
import { negate, stopThem } from './negation.js';
import {
  FARTHEST,
  has,
  hasAny,
  isBad,
  isState,
  itemsOf,
  type Statement,
  type Structure,
} from './structure.js';

const NO_STATEMENTS: readonly Statement[] = [];

/** Finds the statements of a text and decides for each whether it is there, denied, over, supposed or of another. */
export function statementsOf(matched: Matched): Structure {
  const structure = found(matched);
  const ceases = negate(structure);
  stopThem(structure, ceases);
  doubt(structure);
  endThem(structure);
  suppose(structure);
  placeElsewhere(structure);
  return structure;
}

function found({ items, words }: Matched): Structure {
  const segmentOf = segmentsOf(items);
  const segments: [number, number][] = [];
  for (const [at, segment] of segmentOf.entries()) {
    const own = segments[segment];
    if (own) own[1] = at + 1;
    else segments[segment] = [at, at + 1];
  }
  const statements: Statement[] = [];
  const statementsAt = items.map((item, at) => {
    if (!item.concepts.some(isState)) return NO_STATEMENTS;
    const own = item.concepts.filter(isState).map((concept): Statement => {
      const segment = segmentOf[at] ?? 0;
      return { concept, at, item, segment, standing: 'there', by: null, goesOn: false };
    });
    statements.push(...own);
    return own;
  });
  const said = new Set<string>();
  for (const item of items) for (const concept of item.concepts) said.add(concept.name);
  const asksSomething = said.has('question') || items.some((item) => item.kind === 'question');
  return { items, words, segmentOf, segments, statements, statementsAt, asksSomething, said };
}

function segmentsOf(items: readonly Item[]): number[] {
  let segment = 0;
  return items.map((item, at) => {
    const own = segment;
    if (item.kind === 'stop' || item.kind === 'question') segment += 1;
    else if (has(item, 'but') && at > 0) {
      segment += 1;
      return segment;
    }
    return own;
  });
}

/** What a doubt is about when it says something: one should be able to tell these. */
const SEEN_FROM_OUTSIDE = ['see', 'move', 'stay', 'fit', 'warm', 'breathe'];

/** "not sure if they move": what one should be able to see is taken as missing. */
function doubt(structure: Structure): void {
  if (!structure.said.has('unsure')) return;
  for (const [at, item] of structure.items.entries()) {
    if (!has(item, 'unsure')) continue;
    for (const statement of ahead(structure, at))
      if (statement.by === null && SEEN_FROM_OUTSIDE.includes(statement.concept.name))
        statement.standing = 'denied';
  }
}

/** The statements that follow an item in its segment, not farther than a negation reaches. */
function ahead(structure: Structure, at: number): Statement[] {
  const following: Statement[] = [];
  const from = structure.items[at];
  for (let next = at + 1; from && structure.segmentOf[next] === structure.segmentOf[at]; next += 1) {
    const item = structure.items[next];
    if (!item || item.cellFrom - from.cellTo > FARTHEST) break;
    following.push(...(structure.statementsAt[next] ?? []));
  }
  return following;
}

/** Troubles that are over: "went down", or was so and is fine now. "Still", "again" and "a little" keep them. */
function endThem(structure: Structure): void {
  if (!structure.said.has('over') && !structure.said.has('past')) return;
  const bySegment = structure.segments.map((): Statement[] => []);
  for (const statement of structure.statements)
    if (isBad(statement.concept)) bySegment[statement.segment]?.push(statement);
  for (const segment of structure.segments.keys()) {
    const own = itemsOf(structure, segment);
    const bad = bySegment[segment] ?? [];
    const over = own.filter((item) => has(item, 'over'));
    const isPast = bad.length > 0 && own.some((item) => has(item, 'past'));
    if (over.length === 0 && !isPast) continue;
    const isKept = own.some((item) => hasAny(item, ['still', 'again', 'partly']));
    const after = bySegment[segment + 1] ?? [];
    const next = itemsOf(structure, segment + 1);
    if (after.length === 0 && next.some((item) => hasAny(item, ['still', 'again']))) continue;
    const negators = own.filter((item) => hasAny(item, ['not', 'no', 'not-anymore']));
    const ends = over.filter(
      (item) =>
        !negators.some((negator) => Math.abs(negator.cellFrom - item.cellFrom) <= 3 && negator !== item),
    );
    if (ends.length > 0 && !isKept)
      for (const statement of bad.length > 0 ? near(bad, ends) : (bySegment[segment - 1] ?? []))
        if (statement.standing === 'there') statement.standing = 'over';
    if (isPast) endIfWellLater(structure, segment, bad);
  }
  recover(structure);
}

/** "he did not move it yesterday, today he does": what was lost and is said again later is not lost. */
function recover({ items, statements }: Structure): void {
  for (const lost of statements) {
    if (lost.concept.kind !== 'ability' || lost.standing !== 'denied') continue;
    const back = statements.find(
      ({ at, concept, standing }) =>
        at > lost.at && concept.name === lost.concept.name && standing === 'there',
    );
    if (!back) continue;
    const between = items.slice(lost.at, back.at);
    if (between.some((item) => has(item, 'past')) && between.some((item) => has(item, 'now')))
      lost.standing = 'over';
  }
}

/** Bad statements close to the words that end them. A phrase that names its trouble ("the fever went down") ends that only. */
function near(bad: readonly Statement[], ends: readonly Item[]): readonly Statement[] {
  const namesOne = new Set(ends.filter((item) => bad.some((statement) => statement.item === item)));
  return bad.filter((statement) =>
    ends.some((item) =>
      namesOne.has(item) ? item === statement.item : Math.abs(item.cellFrom - statement.item.cellFrom) <= 8,
    ),
  );
}

function endIfWellLater(structure: Structure, segment: number, bad: readonly Statement[]): void {
  const { items, statements } = structure;
  const first = Math.min(...bad.map((statement) => statement.at));
  const later = items.slice(first + 1);
  if (later.some((item) => hasAny(item, ['still', 'again', 'partly']))) return;
  const isGood = (item: Item) =>
    item.concepts.some(({ kind, name }) => kind === 'well' || name === 'all-well');
  const isWell = later.some((item, index) => {
    if (has(item, 'over')) return true;
    const own = structure.statementsAt[first + 1 + index] ?? [];
    return isGood(item) && own.every((statement) => statement.standing === 'there');
  });
  const staysBad = statements.some(
    (statement) => statement.segment > segment && isBad(statement.concept) && statement.standing === 'there',
  );
  if (!isWell || staysBad) return;
  for (const statement of bad) if (statement.standing === 'there') statement.standing = 'over';
}

/** "what if they turn blue": asked about, not there. "purple when he cries": the second is only the occasion. */
function suppose(structure: Structure): void {
  if (!structure.said.has('if') && !structure.said.has('in-case')) return;
  const { items, segmentOf, segments, statementsAt, asksSomething } = structure;
  for (const [at, item] of items.entries()) {
    const isIf = has(item, 'if');
    if (!isIf && !has(item, 'in-case')) continue;
    const [from, to] = segments[segmentOf[at] ?? 0] ?? [0, 0];
    const isBefore = (item.pack?.negation ?? 'before') === 'before';
    if (!isIf || asksSomething) {
      for (let next = isBefore ? at : from; next < to; next += 1)
        for (const statement of statementsAt[next] ?? []) statement.standing = 'supposed';
    } else if (isBefore) {
      const isSaidBefore = statementsAt.slice(from, at).some((own) => own.some((one) => isBad(one.concept)));
      const occasion = isSaidBefore ? ahead(structure, at)[0] : undefined;
      if (occasion && occasion.item.cellFrom - item.cellTo <= 2) occasion.standing = 'supposed';
    }
  }
}

const ANYBODYS = [
  'unwell',
  'fever',
  'pain',
  'died',
  'ill',
  'broken',
  'hot',
  'bleeding',
  'sore',
  'cry',
  'swollen',
];
const OURS = ['child', 'toe', 'cast', 'brace', 'brace-part', 'heel', 'says'];

/** "my mother-in-law broke her leg": a trouble whose bearer is somebody else. */
function placeElsewhere(structure: Structure): void {
  if (!structure.said.has('person') && !structure.said.has('other-person-news')) return;
  const { items, segmentOf, statements } = structure;
  let isAnothersDeath = items.some((item) => has(item, 'other-person-news'));
  for (const statement of statements) {
    if (!ANYBODYS.includes(statement.concept.name) || statement.standing !== 'there') continue;
    for (let at = statement.at; at >= Math.max(0, statement.at - 30); at -= 1) {
      const item = items[at];
      if (!item || segmentOf[at] !== statement.segment) break;
      if (at !== statement.at && hasAny(item, OURS)) break;
      if (has(item, 'person')) statement.standing = 'elsewhere';
    }
    if (statement.standing === 'elsewhere' && statement.concept.name === 'died') isAnothersDeath = true;
  }
  if (!isAnothersDeath || items.some((item) => has(item, 'child'))) return;
  for (const statement of statements) if (statement.concept.name === 'died') statement.standing = 'elsewhere';
}
