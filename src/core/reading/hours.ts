import type { Asked, ReadingPhase } from '../model/signs.js';
import { type ClockTime, clockHours, clockOf } from './clock.js';
import type { Item, Matched } from './match.js';
import { isAdjacent, type Numeral, numeralsOf } from './numbers.js';
import { has, itemsOf, type Structure } from './structure.js';

export interface HoursFound {
  readonly hours: number | readonly [number, number] | null;
  readonly items: readonly Item[];
  /** A reading of a thermometer, °C, when one stands in the text. */
  readonly degrees: number | null;
}

interface Context {
  readonly matched: Matched;
  readonly structure: Structure;
  readonly asked: Asked;
  readonly phase: ReadingPhase | null;
}

/** Wear is told in hours of one day. */
const MOST_HOURS = 24;

/**
 * Hours of brace wear in 24 h the text says. A bare number counts when hours were asked; otherwise a unit or a word
 * of wearing must stand by it, in a brace phase. Dates, phones, ages, money, temperatures and cast numbers do not.
 */
export function hoursOf(
  matched: Matched,
  structure: Structure,
  asked: Asked,
  phase: ReadingPhase | null,
): HoursFound {
  const context: Context = { matched, structure, asked, phase };
  const numerals = numeralsOf(matched);
  const degrees = degreesOf(context, numerals);
  const isBrace = phase === 'brace-day' || phase === 'brace-night';
  const none: HoursFound = { hours: null, items: [], degrees };
  if (asked !== 'hours' && !isBrace && !structure.items.some((item) => has(item, 'wear'))) return none;
  const said = structure.items.find((item) => item.hours !== null && !isOfNight(item, context));
  const range = rangeOf(context, numerals);
  if (range) return { ...range, degrees };
  const single = sumOfDayAndNight(context, numerals) ?? singleOf(context, numerals);
  if (single && !(said && said.hours !== 0)) return { ...single, degrees };
  if (said && (asked === 'hours' || isBrace)) return { hours: said.hours, items: [said], degrees };
  return none;
}

function isOfNight(_item: Item, _context: Context): boolean {
  return false;
}

function degreesOf(context: Context, numerals: readonly Numeral[]): number | null {
  for (const numeral of numerals) {
    if (numeral.value < 35 || numeral.value > 43) continue;
    const after = context.matched.items[numeral.to];
    const isMarked =
      after && has(after, 'degree') && after.cellFrom - (numeral.items.at(-1)?.cellTo ?? 0) <= 1;
    const isNearFever = [numeral.from - 2, numeral.from - 1, numeral.to, numeral.to + 1].some((at) => {
      const item = context.matched.items[at];
      return item && (has(item, 'fever') || has(item, 'degree') || has(item, 'hot'));
    });
    if (isMarked || isNearFever || numeral.shape === 'decimal') return numeral.value;
  }
  return null;
}

type Use = 'hours' | 'clock' | 'bare' | 'none';

/** What a number is, by what stands beside it. */
function useOf({ matched }: Context, numeral: Numeral): Use {
  if (Number.isNaN(numeral.value) || numeral.shape === 'date' || numeral.shape === 'long') return 'none';
  const first = numeral.items[0];
  const last = numeral.items.at(-1);
  if (!first || !last) return 'none';
  const before = matched.items[numeral.from - 1];
  const after = matched.items[numeral.to];
  if (
    before &&
    before.kind === 'meaning' &&
    first.cellFrom - before.cellTo <= 1 &&
    (has(before, 'ordinal') || has(before, 'degree'))
  )
    return 'none';
  const gap = after ? after.cellFrom - last.cellTo : 99;
  if (after && after.kind === 'meaning' && gap <= 1) {
    if (has(after, 'hour'))
      return matched.items[numeral.to + 1] && isClockWord(matched.items[numeral.to + 1]) ? 'clock' : 'hours';
    if (
      gap === 0 &&
      (has(after, 'other-unit') || has(after, 'degree') || has(after, 'ordinal') || has(after, 'minute'))
    )
      return 'none';
    if (isClockWord(after)) return 'clock';
  }
  const unknown = matched.words[last.cellTo];
  if (after === undefined || gap > 0)
    if (unknown !== undefined && isGluedWord(matched, last, unknown)) return 'none';
  if (before && first.cellFrom - before.cellTo <= 1 && (has(before, 'hour') || has(before, 'clock')))
    return has(before, 'clock') ? 'clock' : 'hours';
  if (numeral.shape === 'clock') return 'clock';
  if (before && isNumberNeighbour(before, first) && numeral.shape === 'plain' && first.value > 24)
    return 'none';
  return 'bare';
}

/** "30th", "4x": letters of no known unit stuck to a number. */
function isGluedWord(matched: Matched, last: Item, word: string): boolean {
  return matched.words[last.cellTo] === word && last.kind === 'number' && /^(?:st|nd|rd|th|x)$/.test(word);
}

function isNumberNeighbour(before: Item, first: Item): boolean {
  return before.kind === 'number' && isAdjacent(before, first);
}

export function isClockWord(item: Item | undefined): boolean {
  return (
    item !== undefined &&
    ['morning', 'afternoon', 'evening', 'night', 'clock'].some((name) => has(item, name))
  );
}

/** "8pm to 6am", "from 9 till 7", "10-12", "10 or 11", "between 20 and 21". */
function rangeOf(context: Context, numerals: readonly Numeral[]): Omit<HoursFound, 'degrees'> | null {
  const { items } = context.matched;
  for (let index = 0; index + 1 < numerals.length; index += 1) {
    const low = numerals[index];
    const high = numerals[index + 1];
    if (!low || !high || isPhone(numerals, index)) continue;
    const joint = items.slice(low.to, high.from);
    const distance = (high.items[0]?.cellFrom ?? 0) - (low.items.at(-1)?.cellTo ?? 0);
    if (distance > 6 || joint.some((item) => item.kind === 'stop' || has(item, 'but'))) continue;
    const between = context.matched.words.slice(low.items.at(-1)?.cellTo ?? 0, high.items[0]?.cellFrom ?? 0);
    const isDash = between.length === 1 && between[0] === '-';
    const isUntil = joint.some((item) => has(item, 'until')) || isDash;
    const isOr =
      joint.some((item) => has(item, 'or')) ||
      (joint.some((item) => has(item, 'and')) && hasBefore(items, low.from, 'between'));
    const isStretch = isUntil || (!isOr && isOnAndOff(context, low, high));
    if (!isStretch && !isOr && !(distance === 0 && high.value === low.value + 1)) continue;
    const uses = [useOf(context, low), useOf(context, high)] as const;
    if (uses.includes('none')) continue;
    const result = readRange(context, low, high, uses, isUntil && !isDash, isOr);
    if (result === null || !isWear(context, low, true)) continue;
    return { hours: result, items: [...low.items, ...joint, ...high.items] };
  }
  return pointRange(context);
}

/** "on at ten at night, off at five in the morning": two times, each with its part of the day. */
function isOnAndOff({ matched, asked }: Context, low: Numeral, high: Numeral): boolean {
  if (asked !== 'hours') return false;
  const from = clockOf(matched, low);
  const to = clockOf(matched, high);
  return from.part !== null && to.part !== null && from.part !== to.part;
}

function hasBefore(items: readonly Item[], at: number, name: string): boolean {
  return [at - 1, at - 2].some((index) => {
    const item = items[index];
    return item !== undefined && has(item, name);
  });
}

function readRange(
  context: Context,
  low: Numeral,
  high: Numeral,
  uses: readonly [Use, Use],
  isSpoken: boolean,
  isOr: boolean,
): number | readonly [number, number] | null {
  const { matched } = context;
  const from = clockOf(matched, low);
  const to = clockOf(matched, high);
  const isFromSaid =
    hasBefore(matched.items, low.from, 'from') || hasBefore(matched.items, low.from, 'clock');
  const isMarked = from.isMarked || to.isMarked;
  const isClock =
    !isOr &&
    (isMarked ||
      (low.value > high.value && uses[1] !== 'hours') ||
      (isFromSaid && isSpoken && uses[1] !== 'hours' && low.value > high.value));
  if (isClock) {
    const hours = clockHours(from, to, context.phase);
    return hours !== null && hours > 0 && hours <= MOST_HOURS ? hours : null;
  }
  if (low.value > high.value || high.value > MOST_HOURS) return null;
  return low.value === high.value ? low.value : [low.value, high.value];
}

/** Ranges with a named end: "8pm till midnight", "from noon to 6". */
function pointRange(context: Context): Omit<HoursFound, 'degrees'> | null {
  const { items } = context.matched;
  const points: { at: number; to: number; time: ClockTime; items: readonly Item[] }[] = [];
  for (const numeral of numeralsOf(context.matched)) {
    const use = useOf(context, numeral);
    if (use === 'clock' || use === 'bare')
      points.push({
        at: numeral.from,
        to: numeral.to,
        time: clockOf(context.matched, numeral),
        items: numeral.items,
      });
  }
  let hasNamed = false;
  for (const [at, item] of items.entries()) {
    const named = has(item, 'noon') ? 12 : has(item, 'midnight') ? 24 : null;
    if (named === null) continue;
    hasNamed = true;
    points.push({ at, to: at + 1, time: { value: named, isMarked: true, part: null }, items: [item] });
  }
  if (!hasNamed) return null;
  points.sort((one, other) => one.at - other.at);
  for (let index = 0; index + 1 < points.length; index += 1) {
    const low = points[index];
    const high = points[index + 1];
    if (!low || !high || !items.slice(low.to, high.at).some((item) => has(item, 'until'))) continue;
    const hours = clockHours(low.time, high.time, context.phase);
    if (hours !== null && hours > 0) return { hours, items: [...low.items, ...high.items] };
  }
  return null;
}

/** Two and more numbers side by side with seven digits or more between them. */
function isPhone(numerals: readonly Numeral[], index: number): boolean {
  let digits = 0;
  let from = index;
  while (from > 0 && sideBySide(numerals[from - 1], numerals[from])) from -= 1;
  let to = index;
  while (to + 1 < numerals.length && sideBySide(numerals[to], numerals[to + 1])) to += 1;
  if (from === to) return false;
  for (let at = from; at <= to; at += 1)
    digits += (numerals[at]?.items[0]?.to ?? 0) - (numerals[at]?.items[0]?.from ?? 0);
  return digits >= 6;
}

function sideBySide(one: Numeral | undefined, other: Numeral | undefined): boolean {
  const last = one?.items.at(-1);
  const first = other?.items[0];
  if (!last || !first || last.kind !== 'number' || first.kind !== 'number') return false;
  return first.cellFrom - last.cellTo <= 0 && last.shape === 'plain' && first.shape === 'plain';
}

/** "off for 2 hours", and "2 ghante utara" in languages whose verb comes last. */
function isOffFor(items: readonly Item[], numeral: Numeral): boolean {
  const before = [items[numeral.from - 1], items[numeral.from - 2]];
  const after = [items[numeral.to], items[numeral.to + 1]].filter(
    (item) => item && item.pack?.negation !== 'before',
  );
  return [...before, ...after].some((item) => item !== undefined && has(item, 'off-for'));
}

const DAYTIME = ['each-night', 'noon', 'afternoon'];

/** "4 hours by day, 10 by night", each part of the day said before its hours: their sum. */
function sumOfDayAndNight(
  context: Context,
  numerals: readonly Numeral[],
): Omit<HoursFound, 'degrees'> | null {
  const { items } = context.matched;
  const spoken = numerals.filter(
    (numeral) => useOf(context, numeral) === 'hours' && isWear(context, numeral, true),
  );
  const of = (names: readonly string[]) =>
    spoken.filter((numeral) => {
      const before = items[numeral.from - 1];
      return before !== undefined && names.some((name) => has(before, name));
    });
  const [byDay] = of(DAYTIME);
  const [byNight] = of(['night']);
  if (spoken.length !== 2 || !byDay || !byNight || byDay === byNight) return null;
  const hours = byDay.value + byNight.value;
  return hours <= MOST_HOURS ? { hours, items: [...byDay.items, ...byNight.items] } : null;
}

function singleOf(context: Context, numerals: readonly Numeral[]): Omit<HoursFound, 'degrees'> | null {
  const { items } = context.matched;
  let best: { hours: number; items: readonly Item[]; rank: number } | null = null;
  for (const [index, numeral] of numerals.entries()) {
    const use = useOf(context, numeral);
    if (use === 'none' || use === 'clock' || isPhone(numerals, index)) continue;
    if (numeral.value > MOST_HOURS || numeral.value < 0) continue;
    if (use === 'bare' && context.asked !== 'hours') continue;
    if (!isWear(context, numeral, use === 'hours')) continue;
    const before = items[numeral.from - 1];
    const isOff = isOffFor(items, numeral);
    const hours = isOff ? MOST_HOURS - numeral.value : numeral.value;
    const rank = (use === 'hours' ? 2 : 0) + (before && has(before, 'only') ? 3 : 0) + (isOff ? -1 : 0);
    if (best === null || rank > best.rank) best = { hours, items: numeral.items, rank };
  }
  return best;
}

const NOT_WEAR = ['pain', 'cry', 'fever', 'unwell', 'hot', 'come', 'ill'];

/** Whether hours said here are hours of wear and not of travel, waiting, crying or fever. */
function isWear(context: Context, numeral: Numeral, hasUnit: boolean): boolean {
  const { structure, asked } = context;
  const segment = structure.segmentOf[numeral.from];
  const around = [numeral.from - 2, numeral.from - 1, numeral.to, numeral.to + 1, numeral.to + 2];
  for (const at of around) {
    const item = structure.items[at];
    if (item && structure.segmentOf[at] === segment && has(item, 'ago') && near(item, numeral)) return false;
  }
  if (asked === 'hours') return true;
  const own = itemsOf(structure, segment ?? 0);
  if (own.some((item) => has(item, 'wear') || has(item, 'brace'))) return true;
  return hasUnit && asked !== 'visit' && !own.some((item) => NOT_WEAR.some((name) => has(item, name)));
}

function near(item: Item, numeral: Numeral): boolean {
  const first = numeral.items[0];
  const last = numeral.items.at(-1);
  if (!first || !last) return false;
  return Math.min(Math.abs(first.cellFrom - item.cellTo), Math.abs(item.cellFrom - last.cellTo)) <= 3;
}
