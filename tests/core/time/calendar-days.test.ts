import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import {
  addMonths,
  addYears,
  dayOf,
  isoOf,
  monthsBetween,
  readDay,
  weekdayIndex,
} from '../../../src/core/time/calendar-days.js';

/** Checked against luxon (a calendar library of its own) on every kind of day. */
const anyDay = fc.integer({ min: dayOf('1900-01-01'), max: dayOf('2199-12-31') });
const there = (day: number) => DateTime.fromISO(isoOf(day), { zone: 'utc' });

describe('whole days', () => {
  it('are the same dates and weekdays as luxon’s', () => {
    fc.assert(
      fc.property(anyDay, (day) => {
        const date = DateTime.fromMillis(day * 86_400_000, { zone: 'utc' });
        expect(isoOf(day)).toBe(date.toISODate());
        expect(dayOf(isoOf(day))).toBe(day);
        expect(weekdayIndex(day) + 1).toBe(date.weekday);
      }),
    );
  });

  it('move by months as luxon’s do, month ends clamped, leap days too', () => {
    fc.assert(
      fc.property(anyDay, fc.integer({ min: -400, max: 400 }), (day, months) => {
        expect(isoOf(addMonths(day, months))).toBe(there(day).plus({ months }).toISODate());
      }),
    );
    expect(isoOf(addMonths(dayOf('2026-01-31'), 3))).toBe('2026-04-30');
    expect(isoOf(addYears(dayOf('2024-02-29'), 4))).toBe('2028-02-29');
    expect(isoOf(addYears(dayOf('2024-02-29'), 5))).toBe('2029-02-28');
    expect(isoOf(addMonths(dayOf('2000-02-29'), 1200))).toBe('2100-02-28');
  });

  it('count whole months between two days', () => {
    fc.assert(
      fc.property(anyDay, fc.integer({ min: 0, max: 5000 }), (day, more) => {
        const months = monthsBetween(day, day + more);
        expect(addMonths(day, months) <= day + more && addMonths(day, months + 1) > day + more).toBe(true);
      }),
    );
  });

  it('are refused when they do not exist', () => {
    const bad = [
      '2026-02-29',
      '2026-04-31',
      '2026-00-10',
      '2026-13-01',
      '2026-1-1',
      '26-01-01',
      '2026-01-01 ',
      '',
      '2100-02-29',
    ];
    expect(bad.map(readDay)).toEqual(bad.map(() => null));
    expect(readDay('2000-02-29')).toBe(dayOf('2000-02-29'));
  });
});
