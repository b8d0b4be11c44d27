import { describe, expect, it } from 'vitest';
import { closedDaysAround, publicHolidays } from '../../src/app/holidays.js';
import { casts, courseOf } from '../core/course/example-children.js';

/** Western Easter by the rule of the Gregorian computus (Meeus, Astronomical Algorithms, ch. 8), worked here anew. */
function easter(year: number): string {
  const a = year % 19;
  const b = Math.floor(year / 100);
  const c = year % 100;
  const h = (19 * a + b - Math.floor(b / 4) - Math.floor((b - Math.floor((b + 8) / 25) + 1) / 3) + 15) % 30;
  const l = (32 + 2 * (b % 4) + 2 * Math.floor(c / 4) - h - (c % 4)) % 7;
  const m = Math.floor((a + 11 * h + 22 * l) / 451);
  const n = h + l - 7 * m + 114;
  return `${year}-${String(Math.floor(n / 31)).padStart(2, '0')}-${String((n % 31) + 1).padStart(2, '0')}`;
}
const dayAfter = (date: string, days: number) =>
  new Date(Date.parse(date) + days * 86_400_000).toISOString().slice(0, 10);

describe('public holidays', () => {
  it('hold Good Friday, Easter Monday and Christmas of every year where they are kept', () => {
    for (let year = 2024; year <= 2040; year++) {
      const dates = publicHolidays({ country: 'UG' }, year, year);
      for (const date of [dayAfter(easter(year), -2), dayAfter(easter(year), 1), `${year}-12-25`])
        expect(dates).toContain(date);
    }
  });

  it('are whole dates, each once, in order', () => {
    const dates = publicHolidays({ country: 'BD' }, 2026, 2030);
    expect(dates.length).toBeGreaterThan(40);
    for (const date of dates) expect(date).toMatch(/^20\d\d-\d\d-\d\d$/);
    expect([...new Set(dates)].sort()).toEqual(dates);
  });

  it('of an unknown country are refused by name', () => {
    expect(() => publicHolidays({ country: 'XX' }, 2026, 2026)).toThrow('"XX"');
  });

  it('come with a clinic’s own closures, once made kept, and none for a country nobody knows', () => {
    const closedDays = closedDaysAround(2026);
    expect(closedDays('UG', ['2026-07-07'])).toContain('2026-07-07');
    expect(closedDays('UG', ['2026-07-07'])).toContain('2026-12-25');
    expect(closedDays('UG', ['2026-07-07'])).toBe(closedDays('UG', ['2026-07-07']));
    expect(closedDays('XX', ['2026-07-07'])).toEqual(['2026-07-07']);
    // Karnataka keeps 1 November, its founding day, which India as a whole does not.
    expect(closedDays('IN-KA', []).length).toBeGreaterThanOrEqual(closedDays('IN', []).length);
  });

  it('move a cast change off Good Friday inside its window', () => {
    const holidays = closedDaysAround(2026)('UG', ['2026-04-02']);
    const course = courseOf({
      events: casts(['2026-03-27']),
      clinicDays: ['thursday', 'friday', 'tuesday'],
      holidays,
      asOf: '2026-03-27',
    });
    // Friday 3 April 2026 is Good Friday, Thursday is closed, so Tuesday 31 March.
    expect(course.visits.find((visit) => visit.kind === 'cast-change')?.due).toBe('2026-03-31');
  });
});
