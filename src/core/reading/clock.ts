import type { ReadingPhase } from '../model/signs.js';
import type { Item, Matched } from './match.js';
import type { Numeral } from './numbers.js';
import { has } from './structure.js';

type DayPart = 'morning' | 'afternoon' | 'evening' | 'night';

/** A time of the clock as written: `value` in hours; `part` the part of the day said with it. */
export interface ClockTime {
  readonly value: number;
  /** Said or written as a time (with a part of the day, "o'clock", 7:30). */
  readonly isMarked: boolean;
  readonly part: DayPart | null;
}

const PARTS: readonly DayPart[] = ['morning', 'afternoon', 'evening', 'night'];
const HOURS_IN_DAY = 24;

/** Reads a number as a time of the clock, with the part of the day beside it and the language's way of counting. */
export function clockOf(matched: Matched, numeral: Numeral): ClockTime {
  const { items } = matched;
  const first = numeral.items[0];
  const last = numeral.items.at(-1);
  let part: DayPart | null = null;
  let isMarked = numeral.shape === 'clock';
  let sixHours = false;
  const look = (item: Item | undefined, distance: number): void => {
    if (!item || distance > 2 || item.kind !== 'meaning' || has(item, 'until')) return;
    const said = PARTS.find((name) => has(item, name));
    if (said && part === null) {
      part = said;
      isMarked = true;
      sixHours ||= item.pack?.sixHourClock === true;
    }
    if (has(item, 'clock')) {
      isMarked = true;
      sixHours ||= item.pack?.sixHourClock === true;
    }
  };
  if (first && last) {
    const after = [items[numeral.to], items[numeral.to + 1]];
    for (const item of after) {
      if (item && (has(item, 'until') || item.kind !== 'meaning' || isDeed(item))) break;
      look(item, (item?.cellFrom ?? 99) - last.cellTo);
    }
    for (const item of [items[numeral.from - 1], items[numeral.from - 2]]) {
      if (item && (has(item, 'until') || item.kind !== 'meaning')) break;
      look(item, first.cellFrom - (item?.cellTo ?? -99));
    }
  }
  let value = numeral.value;
  if (sixHours && value >= 1 && value <= 12.99) value = ((value + 6 - 1) % 12) + 1;
  return { value: part === null ? value : at24(value, part), isMarked, part };
}

/** "put on at eight, in the morning off": past such a word, the part of the day belongs to another time. */
function isDeed(item: Item): boolean {
  return item.concepts.some(({ kind }) => kind === 'ability' || kind === 'trouble' || kind === 'sign');
}

function at24(value: number, part: DayPart): number {
  if (value > 12.99) return value % HOURS_IN_DAY;
  if (part === 'morning') return value >= 12 ? value - 12 : value;
  if (part === 'night' && value < 5) return value;
  if (part === 'night' && value >= 12) return value - 12;
  return value >= 12 ? value : value + 12;
}

/**
 * Hours from one time to the next. When no part of the day is said, a night is meant (at most twelve hours) unless
 * the brace is worn all day. Null when the two do not make a stretch of a day.
 */
export function clockHours(from: ClockTime, to: ClockTime, phase: ReadingPhase | null): number | null {
  if (from.value > HOURS_IN_DAY || to.value > HOURS_IN_DAY) return null;
  const straight = (to.value - from.value + 2 * HOURS_IN_DAY) % HOURS_IN_DAY;
  if (from.part !== null && to.part !== null) return straight === 0 ? HOURS_IN_DAY : straight;
  if (from.value > 12.99 || to.value > 12.99) return straight === 0 ? HOURS_IN_DAY : straight;
  const other = (straight + 12) % HOURS_IN_DAY;
  if (straight === 0) return phase === 'brace-day' ? HOURS_IN_DAY : 12;
  if (from.part !== null)
    return from.part === 'morning' && straight < 8 ? straight : Math.min(straight, HOURS_IN_DAY);
  return phase === 'brace-day' && Math.max(straight, other) < 23.5
    ? Math.max(straight, other)
    : Math.min(straight, other);
}
