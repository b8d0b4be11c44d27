import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findLapse } from '../../../../src/core/course/wear/lapse.js';
import { hoursForPrescribed, likelyHours } from '../../../../src/core/course/wear/over-reporting.js';
import { rollingBounds, wearBounds, wearGaps } from '../../../../src/core/course/wear/wear-bounds.js';
import { type ToldWear, type WearAim, wearRecord } from '../../../../src/core/course/wear/wear-record.js';
import { firstTwoMonths, wearTrend } from '../../../../src/core/course/wear/wear-trend.js';
import { dayOf, isoOf } from '../../../../src/core/time/calendar-days.js';

const START = dayOf('2026-03-09');
const on = (day: number) => isoOf(START + day);
const AIMS: WearAim[] = [
  { hoursFrom: 23, hoursTo: 23, from: on(0), to: on(92) },
  { hoursFrom: 12, hoursTo: 14, from: on(92), to: null },
];
const told = (...pairs: [day: number, hours: number][]): ToldWear[] =>
  pairs.map(([day, hours]) => ({ date: on(day), low: hours, high: hours }));

describe('the wear record', () => {
  it('has a row a day, silent days without hours, each with its target', () => {
    expect(wearRecord(told([91, 22], [93, 11]), AIMS, on(90), on(94))).toEqual([
      { date: on(90), told: null, target: 23 },
      { date: on(91), told: { low: 22, high: 22 }, target: 23 },
      { date: on(92), told: null, target: 12 },
      { date: on(93), told: { low: 11, high: 11 }, target: 12 },
      { date: on(94), told: null, target: 12 },
    ]);
  });

  it('shows both bounds of an average with silent days', () => {
    const record = wearRecord(
      [...told([1, 22], [3, 20]), { date: on(5), low: 16, high: 20 }],
      AIMS,
      on(0),
      on(6),
    );
    expect(wearBounds(record, 7)).toEqual({
      days: 7,
      toldDays: 3,
      ifSilentWasNone: 60 / 7,
      ifSilentWasAsTold: 20,
      target: 23,
    });
    expect(wearBounds(wearRecord([], AIMS, on(0), on(6)), 7)).toMatchObject({
      ifSilentWasNone: 0,
      ifSilentWasAsTold: null,
    });
  });

  it('never puts the silent-was-none bound above the other, whatever was told', () => {
    const days = fc.uniqueArray(fc.tuple(fc.nat({ max: 120 }), fc.integer({ min: 0, max: 24 })), {
      selector: ([day]) => day,
    });
    fc.assert(
      fc.property(days, (pairs) => {
        for (const bounds of rollingBounds(wearRecord(told(...pairs), AIMS, on(0), on(120)), 14)) {
          if (bounds.ifSilentWasAsTold !== null)
            expect(bounds.ifSilentWasNone).toBeLessThanOrEqual(bounds.ifSilentWasAsTold + 1e-9);
          if (bounds.toldDays === bounds.days)
            expect(bounds.ifSilentWasNone).toBeCloseTo(bounds.ifSilentWasAsTold ?? 0);
        }
      }),
      { numRuns: 100 },
    );
  });

  it('finds the longest time without brace and without word', () => {
    const record = wearRecord(told([1, 22], [2, 0], [3, 1], [4, 0], [6, 0], [7, 22]), AIMS, on(0), on(12));
    expect(wearGaps(record)).toEqual({ longestOff: 3, longestSilence: 5 });
  });
});

describe('the trend', () => {
  it('is the slope of a steady fall and not moved by one odd answer', () => {
    const fall = Array.from({ length: 8 }, (_, week): [number, number] => [week * 7, 22 - week]);
    expect(wearTrend(wearRecord(told(...fall), AIMS, on(0), on(60)))?.hoursPerWeek).toBeCloseTo(-1);
    const odd = fall.map(([day, hours]): [number, number] => [day, day === 21 ? 0 : hours]);
    expect(wearTrend(wearRecord(told(...odd), AIMS, on(0), on(60)))?.hoursPerWeek).toBeCloseTo(-1, 0);
  });

  it('a step to fewer prescribed hours is no fall', () => {
    const steps = [70, 77, 84, 91]
      .map((day): [number, number] => [day, 23])
      .concat([98, 105, 112].map((day): [number, number] => [day, 12]));
    expect(wearTrend(wearRecord(told(...steps), AIMS, on(0), on(120)))?.hoursPerWeek).toBeCloseTo(0);
    expect(wearTrend(wearRecord(told([1, 22]), AIMS, on(0), on(9)))).toBeNull();
  });

  it('compares the first two months, the published early warning', () => {
    // Morgenstein A et al. J Pediatr Orthop 2015;35(2):185-191: sensors 91.7, 86.8, 77.1 % of the day.
    expect([91.7, 86.8, 77.1].map((share) => ((share / 100) * 24).toFixed(1))).toEqual([
      '22.0',
      '20.8',
      '18.5',
    ]);
    expect([94.9 - 91.7, 95.6 - 86.8, 94.8 - 77.1].map((gap) => gap.toFixed(1))).toEqual([
      '3.2',
      '8.8',
      '17.7',
    ]);
    const record = wearRecord(told([7, 22], [14, 22], [35, 20.8], [42, 20.8]), AIMS, on(0), on(60));
    expect(firstTwoMonths(record, on(0))).toMatchObject({ first: 22, second: 20.8, hasFallen: true });
    expect(firstTwoMonths(record.slice(0, 20), on(0))).toBeNull();
  });
});

describe('over-reporting', () => {
  it('12.6 hours prescribed were 7.8 by sensor and 10.1 by parents; 12 told suggest 9.2', () => {
    // Sangiorgio SN et al. J Bone Joint Surg Am, 5 Oct 2016.
    expect(hoursForPrescribed(12.6).measured.toFixed(1)).toBe('7.8');
    expect(hoursForPrescribed(12.6).told.toFixed(1)).toBe('10.1');
    expect(likelyHours(12).likely.toFixed(1)).toBe('9.2');
    expect(likelyHours(12).note).toContain('a single family may differ widely');
  });
});

describe('a lapse', () => {
  const kind = (days: ToldWear[], questions: Parameters<typeof findLapse>[2] = []) =>
    findLapse(days, AIMS, questions)?.kind ?? null;

  it('one answer below half is shown at once', () => {
    expect(kind(told([7, 22], [14, 11]))).toBe('low');
    expect(kind(told([7, 22], [14, 12]))).toBeNull();
    expect(kind([{ date: on(7), low: 10, high: 14 }])).toBeNull();
  });

  it('two answers in a row below three quarters are shown, one is not', () => {
    expect(kind(told([7, 17], [14, 17]))).toBe('short');
    expect(kind(told([7, 22], [14, 17]))).toBeNull();
    expect(kind(told([7, 17], [14, 18]))).toBeNull();
  });

  it('a fall from the family’s own usual is shown before the level is low', () => {
    expect(kind(told([100, 14], [130, 14], [160, 11], [190, 10.5]))).toBe('falling');
    expect(kind(told([100, 11], [130, 11], [160, 11], [190, 10.5]))).toBeNull();
    // The step from 23 to 12 hours is not a fall.
    expect(kind(told([70, 23], [77, 23], [84, 23], [100, 12], [130, 12]))).toBeNull();
  });

  it('a family that falls silent is shown, one that never answered much is not flagged again and again', () => {
    const asked = (...answered: boolean[]) =>
      answered.map((isAnswered, i) => ({ date: on(7 * (i + 1)), isAnswered }));
    const t = true;
    const f = false;
    expect(kind([], asked(f))).toBeNull();
    // Four of four answered: two in a row unanswered would happen once in twelve times.
    expect(kind(told([28, 22]), asked(t, t, t, t, f))).toBeNull();
    expect(kind(told([28, 22]), asked(t, t, t, t, f, f))).toBe('silent');
    expect(kind(told([28, 22], [45, 22]), asked(t, t, t, t, f, f))).toBeNull();
    // One of three answered before: it takes six.
    expect(kind(told([7, 22]), asked(t, f, f, f, f))).toBe('silent');
    expect(kind(told([21, 22]), asked(f, f, t, f, f, f, f))).toBeNull();
    expect(kind([], asked(f, f, f, f, f))).toBeNull();
    expect(kind([], asked(f, f, f, f, f, f))).toBe('silent');
  });
});
