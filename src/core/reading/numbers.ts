import type { Item, Matched } from './match.js';
import { has } from './structure.js';

/** A number of the text, with what stands around it. */
export interface Numeral {
  readonly value: number;
  readonly shape: Item['shape'];
  /** Items it spans, `to` exclusive. */
  readonly from: number;
  readonly to: number;
  readonly items: readonly Item[];
  /** The unit "hours" stands inside it: "9 hours and a half". */
  readonly hasUnit: boolean;
}

/** Joins number words ("twenty" "two"), halves and quarters to whole numbers, in order. */
export function numeralsOf(matched: Matched): Numeral[] {
  const { items } = matched;
  const numerals: Numeral[] = [];
  for (let at = 0; at < items.length; at += 1) {
    const item = items[at];
    if (!item || !isNumber(item)) continue;
    let to = at + 1;
    let value = item.value;
    let isFractioned = false;
    let hasUnit = false;
    for (let next = items[to]; next; next = items[to]) {
      const minutes = pastUnit(matched, items, to);
      if (!isFractioned && minutes !== null) {
        value += minutes.hours;
        isFractioned = true;
        hasUnit = true;
        to = minutes.to;
        continue;
      }
      const joint = jointBetween(matched, items[to - 1], next);
      if (joint === null) break;
      const { word, skipped } = joint;
      const reached = items[to + skipped];
      if (!reached) break;
      if (isNumber(reached) && item.shape === 'none' && reached.shape === 'none' && !isFractioned) {
        const sum = joined(value, reached.value, word, matched);
        if (sum === null) break;
        value = sum;
      } else if (
        (has(reached, 'half') || reached.value === 0.5) &&
        Number.isInteger(value) &&
        !isFractioned
      ) {
        value += 0.5;
        isFractioned = true;
      } else if (has(reached, 'quarter') && !Number.isNaN(value)) {
        value += 0.25;
        isFractioned = true;
      } else break;
      to += skipped + 1;
    }
    const before = items[at - 1];
    if (!isFractioned && before && isAdjacent(before, item) && Number.isInteger(value))
      value += fractionBefore(before);
    numerals.push({ value, shape: item.shape, from: at, to, items: items.slice(at, to), hasUnit });
    at = to - 1;
  }
  return numerals;
}

/** "sadhe nau" is 9.5, "sawa nau" 9.25, "paune nau" 8.75: what the word before a whole number adds to it. */
function fractionBefore(before: Item): number {
  if (has(before, 'half')) return 0.5;
  if (!has(before, 'quarter')) return 0;
  return has(before, 'minus') ? -0.25 : 0.25;
}

/** "hours and a half", "h 30" behind a number: the fraction of an hour said after the unit. */
function pastUnit(
  matched: Matched,
  items: readonly Item[],
  at: number,
): { hours: number; to: number } | null {
  const unit = items[at];
  const before = items[at - 1];
  const after = items[at + 1];
  if (!unit || !before || !after || !has(unit, 'hour') || !isAdjacent(before, unit)) return null;
  const joint = jointBetween(matched, unit, after);
  const reached = joint && items[at + 1 + joint.skipped];
  if (!reached) return null;
  const to = at + 2 + joint.skipped;
  if (has(reached, 'half')) return { hours: 0.5, to };
  if (has(reached, 'quarter')) return { hours: 0.25, to };
  const isMinutes =
    isNumber(reached) && (reached.value === 15 || reached.value === 30 || reached.value === 45);
  return isMinutes ? { hours: reached.value / 60, to } : null;
}

export function isNumber(item: Item): boolean {
  return item.kind === 'number' || has(item, 'number');
}

export function isAdjacent(before: Item, after: Item): boolean {
  return after.cellFrom - before.cellTo === 0;
}

/** How two neighbouring items are joined: directly, by an unknown joining word, or by an item that is one. */
function jointBetween(
  matched: Matched,
  before: Item | undefined,
  next: Item,
): { word: boolean; skipped: number } | null {
  if (!before) return null;
  const gap = next.cellFrom - before.cellTo;
  if (gap === 0) {
    if (isNumber(next) || has(next, 'half') || has(next, 'quarter')) return { word: false, skipped: 0 };
    const word = matched.words[next.cellFrom] ?? '';
    const isJoiner = next.cellTo - next.cellFrom === 1 && isJoining(matched, next, word);
    return isJoiner ? { word: true, skipped: 1 } : null;
  }
  const between = matched.words[before.cellTo] ?? '';
  return gap === 1 && isJoining(matched, next, between) ? { word: true, skipped: 0 } : null;
}

function isJoining(matched: Matched, near: Item, word: string): boolean {
  for (const pack of [near.pack, matched.main]) {
    const symbol = pack?.words.get(word);
    if (pack && symbol !== undefined && pack.joiners.has(symbol)) return true;
  }
  return false;
}

function joined(first: number, second: number, isWordBetween: boolean, matched: Matched): number | null {
  if (Number.isNaN(first) || Number.isNaN(second)) return null;
  const onesFirst = matched.main.onesFirst;
  if (first >= 10 && first % 10 === 0 && second > 0 && second < 10) return first + second;
  if (onesFirst && isWordBetween && first < 10 && second >= 20 && second % 10 === 0) return first + second;
  if (second === 0.5 || second === 0.25) return first + second;
  if (second === 100 && first < 10 && !isWordBetween) return first * 100;
  if (first >= 100 && first % 100 === 0 && second < 100) return first + second;
  return null;
}
