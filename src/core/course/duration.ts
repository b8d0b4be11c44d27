import { z } from 'zod';
import { addMonths, type Day } from '../time/calendar-days.js';

const count = z
  .int('expected a whole number')
  .min(-400, 'expected -400 to 400')
  .max(400, 'expected -400 to 400')
  .optional();

/**
 * A length in calendar units, exactly one of them: "12 weeks" and "3 months" are different lengths and a protocol
 * must say which it means (T0 on 2026-01-31: 2026-04-25 against 2026-04-30).
 */
export const duration = z
  .strictObject({ days: count, weeks: count, months: count, years: count })
  .refine(
    (d) => [d.days, d.weeks, d.months, d.years].filter((n) => n !== undefined).length === 1,
    'expected exactly one of days, weeks, months, years',
  );
export type Duration = z.infer<typeof duration>;

/** `day` moved by a calendar length, month ends clamped. Pure. */
export function addDuration(day: Day, length: Duration): Day {
  return addTimes(day, length, 1);
}

/** `day` moved by a length taken `times` times: counted from the start, so that month ends do not drift. */
export function addTimes(day: Day, length: Duration, times: number): Day {
  if (length.days !== undefined) return day + length.days * times;
  if (length.weeks !== undefined) return day + length.weeks * 7 * times;
  if (length.months !== undefined) return addMonths(day, length.months * times);
  return addMonths(day, (length.years ?? 0) * 12 * times);
}

/** "3 months", "1 week": for reasons a nurse reads. */
export function sayDuration(length: Duration): string {
  for (const unit of ['days', 'weeks', 'months', 'years'] as const) {
    const n = length[unit];
    if (n !== undefined) return n === 1 ? `1 ${unit.slice(0, -1)}` : `${n} ${unit}`;
  }
  return 'no time';
}

/** Whether a length is longer than nothing. */
export function isForward(length: Duration): boolean {
  return (length.days ?? length.weeks ?? length.months ?? length.years ?? 0) > 0;
}
