import type { Direction } from './data.js';
import type { Item } from './match.js';
import { FARTHEST, has, hasAny, isBad, isState, type Statement, type Structure } from './structure.js';

export const isNegator = (item: Item): boolean => hasAny(item, ['not', 'no', 'not-anymore']);

/** Gives every negating word what it negates. Returns the "stop" words that were themselves negated. */
export function negate(structure: Structure): Set<number> {
  const negatedCeases = new Set<number>();
  const { said } = structure;
  if (!said.has('not') && !said.has('no') && !said.has('not-anymore')) return negatedCeases;
  for (const [at, item] of structure.items.entries()) {
    if (!isNegator(item)) continue;
    if (has(item, 'cease')) negatedCeases.add(at);
    const own = structure.statementsAt[at] ?? [];
    if (own.length > 0) for (const statement of own) apply(structure, statement, item);
    else if (!has(item, 'cease')) reach(structure, at, item, negatedCeases);
  }
  return negatedCeases;
}

/** "not ... any more" of a trouble: it is over, so neither there nor denied. */
function apply(structure: Structure, statement: Statement, negator: Item): void {
  const isNoMore = has(negator, 'not-anymore') || isSaidAnymore(structure, statement);
  statement.standing = isNoMore && isBad(statement.concept) ? 'over' : 'denied';
  statement.by = negator;
}

/** "not swollen any more": the words stand within a few items of the trouble. */
function isSaidAnymore({ items, said }: Structure, { at, item }: Statement): boolean {
  if (!said.has('anymore')) return false;
  return items
    .slice(Math.max(0, at - 4), at + 5)
    .some((other) => has(other, 'anymore') && Math.abs(other.cellFrom - item.cellTo) <= 4);
}

/**
 * "plasta haijalowa": in languages that negate at the head of a word the negation may stand inside a phrase already
 * begun, and means that one.
 */
function spanning({ items, statementsAt }: Structure, at: number): number | null {
  const negator = items[at];
  if (!negator?.pack?.affixes.some(({ adds }) => adds.length > 0)) return null;
  for (let begun = at - 1; negator && begun >= 0 && begun >= at - 3; begun -= 1) {
    const item = items[begun];
    if (item && item.cellFrom < negator.cellFrom && item.cellTo > negator.cellTo)
      if ((statementsAt[begun] ?? []).length > 0) return begun;
  }
  return null;
}

function reach(structure: Structure, at: number, negator: Item, negatedCeases: Set<number>): void {
  const direction: Direction = negator.pack?.negation ?? 'before';
  const forward = () => target(structure, at, 1, FARTHEST);
  const backward = (most: number) => target(structure, at, -1, most);
  let hit: number | null;
  if (direction === 'before')
    hit = spanning(structure, at) ?? forward() ?? (isLast(structure, at) ? backward(1) : null);
  else if (direction === 'after') hit = backward(FARTHEST) ?? forward();
  else hit = backward(3) ?? forward();
  if (hit === null) {
    exceptOne(structure, at, negator);
    return;
  }
  const item = structure.items[hit];
  if (item && has(item, 'cease')) {
    negatedCeases.add(hit);
    return;
  }
  for (const statement of structure.statementsAt[hit] ?? []) apply(structure, statement, negator);
  extend(structure, at, hit, negator);
}

/** "he moves four but not the big one": the ability said before is missing of the part named after. */
function exceptOne(structure: Structure, at: number, negator: Item): void {
  const part = structure.items[at + 1];
  if (!part || part.cellFrom - negator.cellTo > 2 || !hasAny(part, ['toe', 'foot', 'child'])) return;
  const before = structure.statementsAt
    .slice(Math.max(0, at - 8), at)
    .flat()
    .at(-1);
  if (before?.concept.kind !== 'ability' || before.standing !== 'there') return;
  before.standing = 'denied';
  before.by = negator;
}

/** Nothing follows it in its clause: "fever no", "smell: none". */
function isLast(structure: Structure, at: number): boolean {
  const item = structure.items[at];
  const next = structure.items[at + 1];
  if (!item) return false;
  if (!next) return item.cellTo >= structure.words.length;
  return (
    next.cellFrom === item.cellTo &&
    (next.kind === 'comma' || structure.segmentOf[at + 1] !== structure.segmentOf[at] || next.kind === 'stop')
  );
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
    const isTaken = structure.statementsAt[next]?.some((statement) => statement.by !== null) === true;
    if (step < 0 && ((has(item, 'end') && distance > 0) || isNegator(item) || isTaken)) return null;
    if (item.concepts.some(isState) || has(item, 'cease')) return next;
  }
  return null;
}

/** "no smell, blood or pus": carries a negation on over the members of a list. */
function extend(structure: Structure, at: number, hit: number, negator: Item): void {
  const { items, statementsAt } = structure;
  const step = hit > at ? 1 : -1;
  let edge = items[hit];
  let joined = '';
  for (let next = hit + step; next >= 0 && next < items.length; next += step) {
    const item = items[next];
    if (!item || !edge || structure.segmentOf[next] !== structure.segmentOf[at] || isNegator(item)) return;
    const distance = step > 0 ? item.cellFrom - edge.cellTo : edge.cellFrom - item.cellTo;
    if (distance > 3) return;
    if (item.kind === 'comma') joined ||= 'comma';
    else if (has(item, 'or')) joined = 'or';
    else if (has(item, 'and')) joined ||= 'and';
    else if (item.concepts.some(isState)) {
      const isList = joined === 'or' ? distance <= 3 : has(negator, 'no') && joined !== '' && distance <= 1;
      const isBare = step < 0 && joined === '' && distance <= 0;
      if (!isList && !isBare) return;
      const mine = statementsAt[next] ?? [];
      if (joined !== 'or' && !mine.every((statement) => isBad(statement.concept))) return;
      for (const statement of mine) if (statement.by === null) apply(structure, statement, negator);
      joined = '';
    } else return;
    edge = item;
  }
}

/** "came out but stopped": the troubles of the clause before are over. */
function stopBefore({ statementsAt, segmentOf }: Structure, at: number, item: Item): void {
  const segment = (segmentOf[at] ?? 0) - 1;
  for (let before = at - 1; before >= Math.max(0, at - 8); before -= 1) {
    if (segmentOf[before] !== segment) continue;
    for (const statement of statementsAt[before] ?? []) {
      if (!isBad(statement.concept) || statement.standing !== 'there') continue;
      statement.standing = 'over';
      statement.by = item;
    }
  }
}

/** "stopped bleeding" is over, "stopped moving" is lost, "will not stop crying" goes on. */
export function stopThem(structure: Structure, negated: ReadonlySet<number>): void {
  if (!structure.said.has('cease')) return;
  for (const [at, item] of structure.items.entries()) {
    if (!has(item, 'cease')) continue;
    const isAfter = (item.pack?.negation ?? 'before') !== 'before';
    const own = (structure.statementsAt[at] ?? []).length > 0;
    const hit = own
      ? at
      : isAfter
        ? (target(structure, at, -1, 4) ?? target(structure, at, 1, 2))
        : (target(structure, at, 1, 2) ?? target(structure, at, -1, 4));
    if (hit === null) {
      if (!negated.has(at)) stopBefore(structure, at, item);
      continue;
    }
    for (const statement of structure.statementsAt[hit] ?? []) {
      if (negated.has(at)) {
        statement.goesOn = true;
        if (!own || isBad(statement.concept)) statement.standing = 'there';
      } else statement.standing = isBad(statement.concept) ? 'over' : 'denied';
      statement.by = item;
    }
  }
}
