import { endThem } from './endings.js';
import type { Item, Matched } from './match.js';
import { negate, stopThem } from './negation.js';
import { FARTHEST, has, hasAny, isBad, isState, type Statement, type Structure } from './structure.js';

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
  const saidIn = segments.map(() => new Set<string>());
  for (const [at, item] of items.entries())
    for (const concept of item.concepts) {
      said.add(concept.name);
      saidIn[segmentOf[at] ?? 0]?.add(concept.name);
    }
  const asksSomething = said.has('question') || items.some((item) => item.kind === 'question');
  return { items, words, segmentOf, segments, statements, statementsAt, asksSomething, said, saidIn };
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

/** Items farther away than this are not part of a what-if. */
const FARTHEST_SUPPOSED = 25;

/** "what if they turn blue": asked about, not there. "purple when he cries": the second is only the occasion. */
function suppose(structure: Structure): void {
  if (!structure.said.has('if') && !structure.said.has('in-case')) return;
  const { items, segmentOf, segments, statementsAt, asksSomething } = structure;
  for (const [at, item] of items.entries()) {
    const isIf = has(item, 'if');
    if (!isIf && !has(item, 'in-case')) continue;
    const [first, end] = segments[segmentOf[at] ?? 0] ?? [0, 0];
    const from = Math.max(first, at - FARTHEST_SUPPOSED);
    const to = Math.min(end, at + FARTHEST_SUPPOSED);
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
      if (at !== statement.at && hasAny(item, ['person', 'other-person-news']))
        statement.standing = 'elsewhere';
    }
    if (statement.standing === 'elsewhere' && statement.concept.name === 'died') isAnothersDeath = true;
  }
  if (!isAnothersDeath || items.some((item) => has(item, 'child'))) return;
  for (const statement of statements) if (statement.concept.name === 'died') statement.standing = 'elsewhere';
}
