import type { ReadingPhase } from '../model/signs.js';
import { type ClockTime, clockHours, clockOf } from './clock.js';
import type { Item, Matched } from './match.js';
import type { Numeral } from './numbers.js';
import { has } from './structure.js';
import { phonesIn, type Use, useOf } from './uses.js';

export interface HoursSaid {
  readonly hours: number | readonly [number, number];
  readonly items: readonly Item[];
}

/** Wear is told in hours of one day. */
export const MOST_HOURS = 24;
/** Words that may stand between the two ends of a range. */
const WIDEST = 8;

/** "8 till 9 hours": two numbers closer than this are two guesses; nobody tells of wear that short by the clock. */
const CLOSE = 4;

interface Joint {
  readonly isUntil: boolean;
  readonly isDash: boolean;
  readonly isOr: boolean;
  readonly isNext: boolean;
  readonly items: readonly Item[];
}

/** "8pm to 6am", "from 9 till 7", "10-12", "10 or 11", "between 20 and 21", "on at 9 pm, off at 5 am". */
export function rangeOf(
  matched: Matched,
  numerals: readonly Numeral[],
  phase: ReadingPhase | null,
  isWear: (numeral: Numeral) => boolean,
): HoursSaid | null {
  const phones = phonesIn(numerals);
  for (let index = 0; index + 1 < numerals.length; index += 1) {
    const low = numerals[index];
    const high = numerals[index + 1];
    if (!low || !high || phones.has(index) || !isWear(low)) continue;
    const uses = [useOf(matched, low), useOf(matched, high)] as const;
    if (uses.includes('none')) continue;
    const joint = jointOf(matched, low, high);
    const hours = joint && hoursBetween(matched, low, high, uses, joint, phase);
    if (joint && hours !== null) return { hours, items: [...low.items, ...joint.items, ...high.items] };
  }
  return pointRange(matched, numerals, phase);
}

function jointOf(matched: Matched, low: Numeral, high: Numeral): Joint | null {
  const items = matched.items.slice(low.to, high.from);
  const from = low.items.at(-1)?.cellTo ?? 0;
  const to = high.items[0]?.cellFrom ?? 0;
  if (to - from > WIDEST || items.some((item) => item.kind === 'stop' || has(item, 'but'))) return null;
  const isDash = to - from === 1 && matched.words[from] === '-';
  const isBetween = items.some((item) => has(item, 'and')) && stands(matched, low.from, 'between');
  return {
    isDash,
    isUntil: isDash || items.some((item) => has(item, 'until')),
    isOr: isBetween || items.some((item) => has(item, 'or')),
    isNext:
      to - from <= 1 &&
      (to === from || items.some((item) => item.kind === 'comma')) &&
      (high.value === low.value + 1 || (to === from && isPairOfWords(low, high))),
    items,
  };
}

/** "aath das ghante", eight or ten: two number words in a row, the second a little more. */
function isPairOfWords(low: Numeral, high: Numeral): boolean {
  const step = high.value - low.value;
  return low.shape === 'none' && high.shape === 'none' && low.value >= 2 && step > 0 && step <= 5;
}

/** Whether a concept stands among the two items before a place. */
export function stands(matched: Matched, at: number, name: string): boolean {
  return [at - 1, at - 2].some((index) => {
    const item = matched.items[index];
    return item !== undefined && has(item, name);
  });
}

function hoursBetween(
  matched: Matched,
  low: Numeral,
  high: Numeral,
  uses: readonly [Use, Use],
  joint: Joint,
  phase: ReadingPhase | null,
): number | readonly [number, number] | null {
  const from = clockOf(matched, low);
  const to = clockOf(matched, high);
  if (!joint.isUntil && !joint.isOr) {
    const isNightAndMorning = from.part !== null && to.part !== null && from.part !== to.part;
    if (!isNightAndMorning && !joint.isNext) return null;
  }
  const isFrom = stands(matched, low.from, 'from') || stands(matched, low.from, 'clock');
  const isSpoken = joint.isUntil && !joint.isDash && (isFrom || low.value === high.value);
  // "at night ten or eleven hours": a night named before a count of hours makes no time of the clock of it.
  const isCount =
    low.value < high.value &&
    (to.part === null || to.part === from.part) &&
    !uses.includes('clock') &&
    (uses[1] === 'hours' || (joint.isNext && !joint.isUntil));
  const isClock =
    !joint.isOr &&
    !isCount &&
    (from.isMarked ||
      to.isMarked ||
      low.value > high.value ||
      (isSpoken &&
        (low.value === high.value || (low.value <= 12 && high.value > 12 && uses[0] === 'hours'))));
  const isSpan = uses[1] === 'hours' && from.part === null && to.part === null && low.value < high.value;
  if (isClock && !(isSpan && high.value - low.value < CLOSE)) {
    const hours = clockHours(from, to, phase);
    return hours !== null && hours > 0 && hours <= MOST_HOURS ? hours : null;
  }
  if (low.value > high.value || high.value > MOST_HOURS) return null;
  return low.value === high.value ? low.value : [low.value, high.value];
}

/** Ranges with a named end: "8pm till midnight", "from noon to 6". */
function pointRange(
  matched: Matched,
  numerals: readonly Numeral[],
  phase: ReadingPhase | null,
): HoursSaid | null {
  const points: { at: number; to: number; time: ClockTime; items: readonly Item[] }[] = [];
  for (const [at, item] of matched.items.entries()) {
    const named = has(item, 'noon') ? 12 : has(item, 'midnight') ? 24 : null;
    if (named !== null)
      points.push({ at, to: at + 1, time: { value: named, isMarked: true, part: null }, items: [item] });
  }
  if (points.length === 0) return null;
  for (const numeral of numerals) {
    const use = useOf(matched, numeral);
    if (use === 'clock' || use === 'bare')
      points.push({
        at: numeral.from,
        to: numeral.to,
        time: clockOf(matched, numeral),
        items: numeral.items,
      });
  }
  points.sort((one, other) => one.at - other.at);
  for (let index = 0; index + 1 < points.length; index += 1) {
    const low = points[index];
    const high = points[index + 1];
    if (!low || !high || !matched.items.slice(low.to, high.at).some((item) => has(item, 'until'))) continue;
    const hours = clockHours(low.time, high.time, phase);
    if (hours !== null && hours > 0) return { hours, items: [...low.items, ...high.items] };
  }
  return null;
}
