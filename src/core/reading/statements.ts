import type { Direction } from './data.js';
import type { Concept } from './lexicon.js';
import type { Item } from './match.js';

/** `there`: said to be so. `denied`: said not to be. `over`: was so. `supposed`: a what-if. `elsewhere`: of somebody else. */
export type Standing = 'there' | 'denied' | 'over' | 'supposed' | 'elsewhere';

/** A state or ability found in the text, and how it was said. */
export interface Statement {
  readonly concept: Concept;
  readonly at: number;
  readonly item: Item;
  readonly segment: number;
  standing: Standing;
  /** The negating or ending word, shown as evidence with it. */
  by: Item | null;
  /** Said not to stop. */
  goesOn: boolean;
}

export interface Structure {
  readonly items: readonly Item[];
  /** The segment each item stands in: sentences, parted also by "but". */
  readonly segmentOf: readonly number[];
  readonly statements: readonly Statement[];
  readonly asksSomething: boolean;
}

/** Words a negation may reach across. */
const FARTHEST = 6;

export const has = (item: Item, name: string): boolean =>
  item.concepts.some((concept) => concept.name === name);
const hasAny = (item: Item, names: readonly string[]): boolean =>
  item.concepts.some((concept) => names.includes(concept.name));
const isNegator = (item: Item): boolean => hasAny(item, ['not', 'no', 'not-anymore']);
const isState = (concept: Concept): boolean =>
  concept.kind === 'trouble' ||
  concept.kind === 'ability' ||
  concept.kind === 'well' ||
  concept.kind === 'sign';
const isBad = (concept: Concept): boolean => concept.kind === 'trouble' || concept.kind === 'sign';

/** Finds the statements of a text and decides for each whether it is there, denied, over, supposed or of another. */
export function statementsOf(items: readonly Item[]): Structure {
  const segmentOf = segments(items);
  const statements: Statement[] = [];
  for (const [at, item] of items.entries())
    for (const concept of item.concepts)
      if (isState(concept))
        statements.push({
          concept,
          at,
          item,
          segment: segmentOf[at] ?? 0,
          standing: 'there',
          by: null,
          goesOn: false,
        });
  const asksSomething = items.some((item) => item.kind === 'question' || has(item, 'question'));
  const structure: Structure = { items, segmentOf, statements, asksSomething };
  const ceases = negate(structure);
  stopThem(structure, ceases);
  doubt(structure);
  endThem(structure);
  suppose(structure);
  placeElsewhere(structure);
  return structure;
}

function segments(items: readonly Item[]): number[] {
  let segment = 0;
  return items.map((item) => {
    const own = segment;
    if (item.kind === 'stop' || item.kind === 'question') segment += 1;
    else if (has(item, 'but')) {
      segment += 1;
      return segment;
    }
    return own;
  });
}

/** Gives every negating word what it negates. Returns the "stop" words that were themselves negated. */
function negate(structure: Structure): Set<number> {
  const { items } = structure;
  const negatedCeases = new Set<number>();
  for (const [at, item] of items.entries()) {
    if (!isNegator(item)) continue;
    if (has(item, 'cease')) negatedCeases.add(at);
    const own = structure.statements.filter((statement) => statement.at === at);
    if (own.length > 0) for (const statement of own) applyNegation(statement, item, item);
    else if (!has(item, 'cease')) reach(structure, at, item, negatedCeases);
  }
  return negatedCeases;
}

function applyNegation(statement: Statement, negator: Item, by: Item): void {
  statement.standing = has(negator, 'not-anymore') && isBad(statement.concept) ? 'over' : 'denied';
  statement.by = by;
}

function reach(structure: Structure, at: number, negator: Item, negatedCeases: Set<number>): void {
  const direction: Direction = negator.pack?.negation ?? 'before';
  const forward = () => target(structure, at, 1, FARTHEST);
  const backward = (most: number) => target(structure, at, -1, most);
  let hit: number | null;
  if (direction === 'before') hit = forward() ?? backward(2);
  else if (direction === 'after') hit = backward(FARTHEST) ?? forward();
  else hit = backward(3) ?? forward();
  if (hit === null) return;
  const item = structure.items[hit];
  if (item && has(item, 'cease')) {
    negatedCeases.add(hit);
    return;
  }
  negateAt(structure, hit, negator);
  extend(structure, at, hit, negator);
}

function negateAt(structure: Structure, at: number, negator: Item): void {
  for (const statement of structure.statements)
    if (statement.at === at) applyNegation(statement, negator, negator);
}

/** The nearest statement (or "stop" word) in one direction, inside the segment, not across a comma. */
function target(structure: Structure, at: number, step: 1 | -1, most: number): number | null {
  const { items, segmentOf } = structure;
  const from = items[at];
  if (!from) return null;
  for (let next = at + step; next >= 0 && next < items.length; next += step) {
    const item = items[next];
    if (!item || segmentOf[next] !== segmentOf[at] || item.kind === 'comma' || item.kind === 'stop')
      return null;
    const distance = step > 0 ? item.cellFrom - from.cellTo : from.cellFrom - item.cellTo;
    if (distance > most) return null;
    if (step < 0 && has(item, 'end') && distance > 0) return null;
    const isTaken = structure.statements.some((statement) => statement.at === next && statement.by !== null);
    if (isNegator(item) && step < 0) return null;
    if (item.concepts.some(isState) && !(step < 0 && isTaken)) return next;
    if (has(item, 'cease')) return next;
    if (step < 0 && isTaken) return null;
  }
  return null;
}

/** "no smell, blood or pus": carries a negation on over the members of a list. */
function extend(structure: Structure, at: number, hit: number, negator: Item): void {
  const { items, statements } = structure;
  const step = hit > at ? 1 : -1;
  let edge = items[hit];
  let joined = '';
  for (let next = hit + step; next >= 0 && next < items.length; next += step) {
    const item = items[next];
    if (!item || !edge || structure.segmentOf[next] !== structure.segmentOf[at] || isNegator(item)) return;
    const distance = step > 0 ? item.cellFrom - edge.cellTo : edge.cellFrom - item.cellTo;
    if (item.kind === 'comma') joined ||= 'comma';
    else if (has(item, 'or')) joined = 'or';
    else if (has(item, 'and')) joined ||= 'and';
    else if (item.concepts.some(isState)) {
      const isList = joined === 'or' ? distance <= 3 : has(negator, 'no') && joined !== '' && distance <= 1;
      const isBare = step < 0 && joined === '' && distance <= 0;
      if (!isList && !isBare) return;
      const mine = statements.filter((statement) => statement.at === next);
      if (joined !== 'or' && !mine.every((statement) => isBad(statement.concept))) return;
      for (const statement of mine) if (statement.by === null) applyNegation(statement, negator, negator);
      joined = '';
    } else if (!item.concepts.every((concept) => concept.kind === 'filler')) return;
    edge = item;
  }
}

/** "stopped bleeding" is over, "stopped moving" is lost, "will not stop crying" goes on. */
function stopThem(structure: Structure, negated: ReadonlySet<number>): void {
  for (const [at, item] of structure.items.entries()) {
    if (!has(item, 'cease')) continue;
    const isAfter = (item.pack?.negation ?? 'before') !== 'before';
    const own = structure.statements.some((statement) => statement.at === at) ? at : null;
    const hit =
      own ??
      (isAfter
        ? (target(structure, at, -1, 4) ?? target(structure, at, 1, 2))
        : (target(structure, at, 1, 2) ?? target(structure, at, -1, 4)));
    if (hit === null) continue;
    for (const statement of structure.statements) {
      if (statement.at !== hit) continue;
      if (negated.has(at)) {
        if (own === null) statement.standing = 'there';
        statement.goesOn = true;
        if (isBad(statement.concept)) statement.standing = 'there';
      } else statement.standing = isBad(statement.concept) ? 'over' : 'denied';
      statement.by = item;
    }
  }
}

/** "not sure if they move": what one should be able to see is taken as missing. */
function doubt(structure: Structure): void {
  for (const [at, item] of structure.items.entries()) {
    if (!has(item, 'unsure')) continue;
    for (const statement of structure.statements) {
      if (statement.segment !== structure.segmentOf[at] || statement.at < at || statement.by !== null)
        continue;
      if (statement.concept.kind === 'ability' && statement.item.cellFrom - item.cellTo <= FARTHEST)
        statement.standing = 'denied';
    }
  }
}

/** Troubles that are over: "went down", or was so and is fine now. "Still", "again" and "a little" keep them. */
function endThem(structure: Structure): void {
  const { items, segmentOf, statements } = structure;
  const lastSegment = Math.max(0, ...segmentOf);
  for (let segment = 0; segment <= lastSegment; segment += 1) {
    const own = items.filter((_, at) => segmentOf[at] === segment);
    const isKept = own.some((item) => hasAny(item, ['still', 'again', 'partly']));
    const over = own.filter((item) => has(item, 'over'));
    const isDenied = over.some((item) => own.some((other) => isNegator(other) && nearby(other, item)));
    const bad = statements.filter((statement) => statement.segment === segment && isBad(statement.concept));
    if (over.length > 0 && !isKept && !isDenied) {
      const ended = bad.length > 0 ? nearest(bad, over) : lastBad(statements, segment);
      for (const statement of ended) if (statement.standing === 'there') statement.standing = 'over';
    }
    if (own.some((item) => has(item, 'past')) && bad.length > 0 && !isKept)
      endIfWellLater(structure, segment, bad);
  }
}

function nearby(one: Item, other: Item): boolean {
  return Math.abs(one.cellFrom - other.cellFrom) <= 3;
}

/** The bad statements closest to the words that end them; all of them when they come in a row. */
function nearest(bad: readonly Statement[], over: readonly Item[]): readonly Statement[] {
  return bad.filter((statement) =>
    over.some((item) => Math.abs(item.cellFrom - statement.item.cellFrom) <= 8),
  );
}

function lastBad(statements: readonly Statement[], before: number): readonly Statement[] {
  return statements.filter((statement) => statement.segment === before - 1 && isBad(statement.concept));
}

function endIfWellLater(structure: Structure, segment: number, bad: readonly Statement[]): void {
  const { items, segmentOf, statements } = structure;
  const first = Math.min(...bad.map((statement) => statement.at));
  const later = items.filter((_, at) => at > first && (segmentOf[at] ?? 0) >= segment);
  if (later.some((item) => hasAny(item, ['still', 'again']))) return;
  const isWell = later.some(
    (item) =>
      has(item, 'over') ||
      item.concepts.some((concept) => concept.kind === 'well' || concept.name === 'all-well') ||
      (has(item, 'now') && later.some((other) => has(other, 'over'))),
  );
  const staysBad = statements.some(
    (statement) => statement.segment > segment && isBad(statement.concept) && statement.standing === 'there',
  );
  if (!isWell || staysBad) return;
  for (const statement of bad) if (statement.standing === 'there') statement.standing = 'over';
}

/** "what if they turn blue": asked about, not there. */
function suppose(structure: Structure): void {
  const { items, segmentOf, statements, asksSomething } = structure;
  for (const [at, item] of items.entries()) {
    const isAlways = has(item, 'in-case');
    if (!isAlways && !(has(item, 'if') && asksSomething)) continue;
    const isBefore = (item.pack?.negation ?? 'before') === 'before';
    for (const statement of statements) {
      if (statement.segment !== segmentOf[at]) continue;
      if (isBefore ? statement.at >= at : true) statement.standing = 'supposed';
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
  'came-off',
];
const OURS = ['child', 'toe', 'cast', 'brace', 'brace-part', 'heel', 'says'];

/** "my mother-in-law broke her leg": a trouble whose bearer is somebody else. */
function placeElsewhere(structure: Structure): void {
  const { items, segmentOf, statements } = structure;
  for (const statement of statements) {
    if (!ANYBODYS.includes(statement.concept.name) || statement.standing !== 'there') continue;
    for (let at = statement.at; at >= 0 && segmentOf[at] === statement.segment; at -= 1) {
      const item = items[at];
      if (!item || (at !== statement.at && hasAny(item, OURS))) break;
      if (has(item, 'person')) statement.standing = 'elsewhere';
    }
  }
}
