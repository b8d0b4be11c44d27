import type { Item } from './match.js';
import { has, hasAny, isBad, itemsOf, type Statement, type Structure } from './structure.js';

/** In longer texts a trouble of the past is kept, whatever good is said later: bounds the time of any text. */
const MOST_SEGMENTS = 60;
const MOST_STATEMENTS = 300;

/** Troubles that are over: "went down", or was so and is fine now. "Still", "again" and "a little" keep them. */
export function endThem(structure: Structure): void {
  if (!structure.said.has('over') && !structure.said.has('past')) return;
  const bySegment = structure.segments.map((): Statement[] => []);
  for (const statement of structure.statements)
    if (isBad(statement.concept)) bySegment[statement.segment]?.push(statement);
  const wasBad: number[] = [];
  for (const segment of structure.segments.keys()) {
    const own = itemsOf(structure, segment);
    const bad = bySegment[segment] ?? [];
    const over = own.filter((item) => has(item, 'over'));
    const isPast = bad.length > 0 && own.some((item) => has(item, 'past'));
    if (over.length === 0 && !isPast) continue;
    const isKept = own.some((item) => hasAny(item, ['still', 'again', 'partly']));
    const after = bySegment[segment + 1] ?? [];
    const next = itemsOf(structure, segment + 1);
    if (after.length === 0 && next.some((item) => has(item, 'still'))) continue;
    if (after.length === 0 && next.some((item) => has(item, 'again')) && !next.some(isGood)) continue;
    const negators = own.filter((item) => hasAny(item, ['not', 'no', 'not-anymore']));
    const ends = over.filter(
      (item) =>
        !negators.some((negator) => Math.abs(negator.cellFrom - item.cellFrom) <= 3 && negator !== item),
    );
    if (ends.length > 0 && !isKept)
      for (const statement of bad.length > 0 ? near(bad, ends) : (bySegment[segment - 1] ?? []))
        if (statement.standing === 'there') statement.standing = 'over';
    if (!isKept && structure.segments.length <= MOST_SEGMENTS) endSameBefore(structure, ends);
    if (isPast) wasBad.push(segment);
  }
  // Only once all that ended is known can it be told whether something bad stays.
  if (structure.segments.length <= MOST_SEGMENTS)
    for (const segment of wasBad) endIfWellLater(structure, segment, bySegment[segment] ?? []);
  if (structure.segments.length <= MOST_SEGMENTS) recover(structure);
}

const isGood = (item: Item): boolean =>
  item.concepts.some(({ kind }) => kind === 'well' || kind === 'ability');

/** "they were cold but they warmed up": words that name their trouble and its end also end it where it was told before. */
function endSameBefore({ statements }: Structure, ends: readonly Item[]): void {
  for (const item of ends)
    for (const statement of statements)
      if (
        statement.item.from < item.from &&
        statement.standing === 'there' &&
        has(item, statement.concept.name)
      )
        statement.standing = 'over';
}

/** "he did not move it yesterday, today he does": what was lost and is said again later is not lost. */
function recover({ items, statements, said }: Structure): void {
  if (!said.has('past') || !said.has('now') || statements.length > MOST_STATEMENTS) return;
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

/** Good news that shows a trouble of before is over; "dry" says nothing about whether blood still runs. */
function endIfWellLater(structure: Structure, segment: number, bad: readonly Statement[]): void {
  const { items, statements } = structure;
  const first = Math.min(...bad.map((statement) => statement.at));
  const later = items.slice(first + 1);
  if (later.some((item) => hasAny(item, ['still', 'partly']))) return;
  const good = statements.filter((one) => one.at > first && one.standing === 'there' && !isBad(one.concept));
  const isBack = later.some((item, index) => {
    if (!has(item, 'again')) return false;
    return !good.some((one) => one.segment === structure.segmentOf[first + 1 + index]);
  });
  const staysBad = statements.some(
    (statement) => statement.segment > segment && isBad(statement.concept) && statement.standing === 'there',
  );
  if (isBack || staysBad) return;
  const isOver = later.some(
    (item, index) => hasAny(item, ['over', 'all-well']) || isBareNo(structure, first + 1 + index),
  );
  const isWell = good.some((one) => one.segment > segment || one.concept.kind === 'well');
  for (const statement of bad) {
    const isShown =
      statement.concept.name === 'bleeding'
        ? good.some((one) => hasAny(one.item, ['fine', 'happy']))
        : isWell;
    if (statement.standing === 'there' && (isOver || isShown)) statement.standing = 'over';
  }
}

/** "had a fever on Monday, not any more": a no that stands alone at the end of a sentence, after a comma or "but". */
function isBareNo({ items, segmentOf, statementsAt }: Structure, at: number): boolean {
  const item = items[at];
  if (!item || !hasAny(item, ['not', 'no', 'not-anymore']) || (statementsAt[at] ?? []).length > 0)
    return false;
  const isLittle = (other: Item) =>
    other.concepts.every(({ kind, name }) => kind === 'filler' || name === 'now');
  let next = at + 1;
  while (
    next < items.length &&
    segmentOf[next] === segmentOf[at] &&
    items[next]?.kind === 'meaning' &&
    isLittle(items[next] as Item)
  )
    next += 1;
  const after = items[next];
  if (after && segmentOf[next] === segmentOf[at] && after.kind !== 'stop') return false;
  let back = at - 1;
  while (
    back >= 0 &&
    segmentOf[back] === segmentOf[at] &&
    items[back]?.kind === 'meaning' &&
    isLittle(items[back] as Item)
  )
    back -= 1;
  const before = items[back];
  return (
    before === undefined || before.kind === 'comma' || segmentOf[back] !== segmentOf[at] || has(before, 'but')
  );
}
