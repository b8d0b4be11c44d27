import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { dayOf, isoOf } from '../../../src/core/time/calendar-days.js';
import { clockText, instantAt, isoAt, isTimeZone, localDayOf } from '../../../src/core/time/zone-offsets.js';

/** Checked against the IANA rules as luxon and this Node's ICU know them. */
const ZONES = [
  'Europe/London',
  'America/New_York',
  'Australia/Lord_Howe',
  'Africa/Casablanca',
  'Asia/Kathmandu',
  'America/Havana',
  'Pacific/Apia',
  'UTC',
];
const anyDay = fc.integer({ min: dayOf('2005-01-01'), max: dayOf('2037-12-31') });

describe('local clock times', () => {
  it('have the zone’s offset on every day, also where clocks change', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...ZONES),
        anyDay,
        fc.integer({ min: 0, max: 1439 }),
        (zone, day, minute) => {
          const local = DateTime.fromISO(`${isoOf(day)}T${clockText(minute)}`, { zone });
          expect(instantAt(zone, day, minute)).toBe(local.toMillis());
          expect(Date.parse(isoAt(zone, day, minute))).toBe(local.toMillis());
          expect(localDayOf(zone, local.toMillis())).toBe(dayOf(local.toISODate() ?? ''));
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('keep the hour when summer time begins and ends', () => {
    expect(isoAt('Europe/London', dayOf('2026-03-28'), 600)).toBe('2026-03-28T10:00:00+00:00');
    expect(isoAt('Europe/London', dayOf('2026-03-29'), 600)).toBe('2026-03-29T10:00:00+01:00');
    expect(isoAt('Europe/London', dayOf('2026-10-25'), 600)).toBe('2026-10-25T10:00:00+00:00');
    expect(isoAt('Australia/Lord_Howe', dayOf('2026-07-01'), 1080)).toBe('2026-07-01T18:00:00+10:30');
  });

  it('move on when the clock jumps over them', () => {
    expect(isoAt('Europe/London', dayOf('2026-03-29'), 90)).toBe('2026-03-29T02:30:00+01:00');
  });

  it('know names of the IANA database and nothing else', () => {
    expect(['Africa/Kampala', 'UTC', '+03:00', 'UTC+3', 'Mars/Base', ''].map(isTimeZone)).toEqual([
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
  });
});
