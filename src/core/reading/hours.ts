import type { Asked, ReadingPhase } from '../model/signs.js';
import { clockOf } from './clock.js';
import type { Item, Matched } from './match.js';
import { type Numeral, numeralsOf } from './numbers.js';
import { type HoursSaid, MOST_HOURS, rangeOf, stands } from './ranges.js';
import { has, hasAny, type Structure } from './structure.js';
import { phonesIn, type Use, useOf } from './uses.js';

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
  const degrees = degreesOf(matched, numerals);
  const isBrace = phase === 'brace-day' || phase === 'brace-night';
  const none: HoursFound = { hours: null, items: [], degrees };
  if (asked !== 'hours' && !isBrace && !structure.said.has('wear')) return none;
  const said = structure.items.find((item) => item.hours !== null && isSaidOfWear(context, item));
  const found =
    rangeOf(matched, numerals, phase, (numeral) => isWear(context, numeral, true)) ??
    (said && said.hours !== 0 ? null : (sumOfDayAndNight(context, numerals) ?? singleOf(context, numerals)));
  if (found) return { ...found, degrees };
  if (said) return { hours: said.hours, items: [said], degrees };
  return isBareNo(context, numerals) ? { hours: 0, items: matched.items, degrees } : none;
}

/** "no", "none": the whole answer when hours were asked. */
function isBareNo({ matched, structure, asked }: Context, numerals: readonly Numeral[]): boolean {
  if (asked !== 'hours' || numerals.length > 0 || matched.words.length > 2) return false;
  return ['no', 'not', 'answer-no'].some((name) => structure.said.has(name));
}

/** "not last night" says hours only where wearing is talked of. */
function isSaidOfWear({ structure, asked, phase }: Context, item: Item): boolean {
  if (asked === 'hours') return true;
  if (phase !== 'brace-day' && phase !== 'brace-night') return false;
  return item.hours !== 0 || structure.said.has('wear') || structure.said.has('brace');
}

/** A thermometer's reading: 35 to 43 with a degree sign, beside a word of fever, or with a decimal. */
function degreesOf(matched: Matched, numerals: readonly Numeral[]): number | null {
  for (const numeral of numerals) {
    if (numeral.value < 35 || numeral.value > 43 || numeral.shape === 'clock') continue;
    const isNearFever = [numeral.from - 2, numeral.from - 1, numeral.to, numeral.to + 1].some((at) => {
      const item = matched.items[at];
      return item !== undefined && hasAny(item, ['fever', 'degree', 'hot', 'body']);
    });
    if (isNearFever || numeral.shape === 'decimal') return numeral.value;
  }
  return null;
}

/** "off for 2 hours", and "2 ghante utara" in languages whose verb comes last. */
function isOffFor(matched: Matched, numeral: Numeral): boolean {
  if (stands(matched, numeral.from, 'off-for')) return true;
  return [matched.items[numeral.to], matched.items[numeral.to + 1]].some(
    (item) => item !== undefined && item.pack?.negation !== 'before' && has(item, 'off-for'),
  );
}

const DAYTIME = ['each-night', 'noon', 'afternoon', 'nap'];

/** "4 hours by day, 10 by night", each part of the day said before its hours: their sum. */
function sumOfDayAndNight(context: Context, numerals: readonly Numeral[]): HoursSaid | null {
  const { matched } = context;
  const spoken = numerals.filter(
    (numeral) => useOf(matched, numeral) === 'hours' && isWear(context, numeral, true),
  );
  const of = (names: readonly string[]) =>
    spoken.find((numeral) => {
      const before = matched.items[numeral.from - 1];
      return before !== undefined && hasAny(before, names);
    });
  const byDay = of(DAYTIME);
  const byNight = of(['night']);
  if (spoken.length !== 2 || !byDay || !byNight || byDay === byNight) return null;
  const hours = byDay.value + byNight.value;
  return hours <= MOST_HOURS ? { hours, items: [...byDay.items, ...byNight.items] } : null;
}

interface Single {
  readonly hours: number;
  readonly items: readonly Item[];
  readonly rank: number;
  readonly isOff: boolean;
}

function singleOf(context: Context, numerals: readonly Numeral[]): HoursSaid | null {
  const { matched, structure } = context;
  const singles: Single[] = [];
  const phones = phonesIn(numerals);
  for (const [index, numeral] of numerals.entries()) {
    const use = durationUse(context, numeral, numerals.length);
    if (use === 'none' || use === 'clock' || phones.has(index)) continue;
    if (numeral.value > MOST_HOURS || numeral.value < 0) continue;
    if (use === 'bare' && context.asked !== 'hours') continue;
    if (!isWear(context, numeral, use === 'hours')) continue;
    const isOff = isOffFor(matched, numeral);
    const isOnly = matched.items[numeral.from - 1] && stands(matched, numeral.from, 'only');
    const rank = (use === 'hours' ? 2 : 0) + (isOnly ? 3 : 0) + (isOff ? -1 : 0);
    const hours = isOff ? MOST_HOURS - numeral.value : numeral.value;
    singles.push({ hours, items: numeral.items, rank, isOff });
  }
  const [first, second] = singles;
  if (first && second && singles.length === 2 && structure.said.has('nap') && !first.isOff && !second.isOff)
    if (first.hours + second.hours <= MOST_HOURS)
      return { hours: first.hours + second.hours, items: [...first.items, ...second.items] };
  return singles.reduce<Single | null>(
    (best, one) => (best === null || one.rank > best.rank ? one : best),
    null,
  );
}

/** A lone "9h30", or "10 hours" with a word of night behind it, is a length and not a time, when hours were asked. */
function durationUse({ matched, asked, structure }: Context, numeral: Numeral, count: number): Use {
  const use = useOf(matched, numeral);
  if (use === 'bare' && count === 1 && stands(matched, numeral.from, 'until')) return 'clock';
  if (use !== 'clock' || asked !== 'hours') return use;
  const after = matched.items[numeral.to];
  const hasUnit = after !== undefined && has(after, 'hour');
  const first = numeral.items[0];
  const isLetterClock =
    numeral.shape === 'clock' && first !== undefined && (matched.words[first.cellFrom] ?? '').includes('h');
  const before = matched.items[numeral.from - 1];
  // Swahili "saa" is both "hours" and "o'clock": alone, with no part of the day, it is how long.
  const isEither = before !== undefined && has(before, 'hour') && has(before, 'clock');
  if (count === 1 && (hasUnit || isLetterClock || (isEither && clockOf(matched, numeral).part === null)))
    return 'hours';
  return structure.said.has('nap') &&
    numeral.shape !== 'clock' &&
    !(after && hasAny(after, ['clock', 'morning']))
    ? 'hours'
    : use;
}

const NOT_WEAR = ['pain', 'cry', 'fever', 'unwell', 'hot', 'come', 'ill'];

/** Whether hours said here are hours of wear and not of travel, waiting, crying, fever or a question. */
function isWear({ structure, asked }: Context, numeral: Numeral, hasUnit: boolean): boolean {
  const segment = structure.segmentOf[numeral.from] ?? 0;
  for (const at of [numeral.from - 2, numeral.from - 1, numeral.to, numeral.to + 1, numeral.to + 2]) {
    const item = structure.items[at];
    if (item && structure.segmentOf[at] === segment && has(item, 'ago') && isNear(item, numeral))
      return false;
  }
  if (asked === 'hours') return true;
  const own = structure.saidIn[segment];
  if (own?.has('wear')) return true;
  if (structure.said.has('question')) return false;
  if (own?.has('brace')) return true;
  return hasUnit && asked !== 'visit' && !NOT_WEAR.some((name) => own?.has(name));
}

function isNear(item: Item, numeral: Numeral): boolean {
  const first = numeral.items[0];
  const last = numeral.items.at(-1);
  if (!first || !last) return false;
  return Math.min(Math.abs(first.cellFrom - item.cellTo), Math.abs(item.cellFrom - last.cellTo)) <= 3;
}
