import type { Item, Matched } from './match.js';
import { isAdjacent, type Numeral } from './numbers.js';
import { has, hasAny } from './structure.js';

/** What a number is of: hours (a unit stands by it), a time of the clock, bare, or nothing of the kind. */
export type Use = 'hours' | 'clock' | 'bare' | 'none';

const DAY_PARTS = ['morning', 'afternoon', 'evening', 'night', 'clock'];
const OTHER_UNITS = ['other-unit', 'degree', 'ordinal', 'minute'];

/** What a number is, by what stands beside it. Dates, phones, ages, money, counts and temperatures are `none`. */
export function useOf(matched: Matched, numeral: Numeral): Use {
  if (Number.isNaN(numeral.value) || numeral.shape === 'date' || numeral.shape === 'long') return 'none';
  const first = numeral.items[0];
  const last = numeral.items.at(-1);
  if (!first || !last) return 'none';
  if (numeral.hasUnit) return 'hours';
  const before = matched.items[numeral.from - 1];
  const after = matched.items[numeral.to];
  const isBeforeNear = before?.kind === 'meaning' && first.cellFrom - before.cellTo <= 1;
  if (before && isBeforeNear && hasAny(before, ['ordinal', 'degree'])) return 'none';
  const gap = after ? after.cellFrom - last.cellTo : 99;
  if (after && after.kind === 'meaning' && gap <= 1) {
    if (has(after, 'hour')) return isClockWord(matched.items[numeral.to + 1]) ? 'clock' : 'hours';
    if (gap === 0 && hasAny(after, OTHER_UNITS)) return 'none';
    if (isClockWord(after)) return 'clock';
  }
  if (gap > 0 && isOrdinalTail(last, matched.words[last.cellTo])) return 'none';
  if (before && isBeforeNear && has(before, 'clock')) return 'clock';
  if (before && isBeforeNear && has(before, 'hour')) return 'hours';
  if (numeral.shape === 'clock') return 'clock';
  const isOfRow = before?.kind === 'number' && isAdjacent(before, first);
  return isOfRow && numeral.shape === 'plain' && first.value > 24 ? 'none' : 'bare';
}

/** "30th", "4x": letters of no known unit stuck to a number. */
function isOrdinalTail(last: Item, word: string | undefined): boolean {
  return last.kind === 'number' && word !== undefined && /^(?:st|nd|rd|th|x)$/.test(word);
}

export function isClockWord(item: Item | undefined): boolean {
  return item !== undefined && hasAny(item, DAY_PARTS);
}

/** Numbers side by side with six digits or more between them are a telephone number: their places in the list. */
export function phonesIn(numerals: readonly Numeral[]): ReadonlySet<number> {
  const phones = new Set<number>();
  for (let from = 0; from < numerals.length; ) {
    let to = from;
    while (to + 1 < numerals.length && areSideBySide(numerals[to], numerals[to + 1])) to += 1;
    let digits = 0;
    for (let at = from; at <= to; at += 1) {
      const item = numerals[at]?.items[0];
      digits += item ? item.to - item.from : 0;
    }
    if (to > from && digits >= 6) for (let at = from; at <= to; at += 1) phones.add(at);
    from = to + 1;
  }
  return phones;
}

function areSideBySide(one: Numeral | undefined, other: Numeral | undefined): boolean {
  const last = one?.items.at(-1);
  const first = other?.items[0];
  if (!last || !first || last.kind !== 'number' || first.kind !== 'number') return false;
  return isAdjacent(last, first) && last.shape === 'plain' && first.shape === 'plain';
}
