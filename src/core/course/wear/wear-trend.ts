import { dayOf } from '../../time/calendar-days.js';
import { middle, type WearDayRecord } from './wear-record.js';

export interface WearTrend {
  /** Change in hours a day per week, the median of the slopes between all pairs of told days (Theil-Sen). */
  readonly hoursPerWeek: number;
  readonly toldDays: number;
}

/** At least so many told days before a trend is named. */
const LEAST_TOLD = 4;

/**
 * The trend of what was told, robust against a single odd answer (Theil H 1950; Sen PK. J Am Stat Assoc
 * 1968;63:1379-1389). Shares of the target are compared, so that a step to fewer hours is no fall; the result is in
 * hours of the last target. Null: too few days told. Pure.
 */
export function wearTrend(record: readonly WearDayRecord[]): WearTrend | null {
  const points = record.flatMap((day) =>
    day.told === null || day.target === null || day.target === 0
      ? []
      : [{ day: dayOf(day.date), share: middle(day.told) / day.target, target: day.target }],
  );
  const last = points.at(-1);
  if (points.length < LEAST_TOLD || last === undefined) return null;
  const slopes: number[] = [];
  points.forEach((a, i) => {
    for (const b of points.slice(i + 1)) slopes.push((b.share - a.share) / (b.day - a.day));
  });
  slopes.sort((a, b) => a - b);
  return { hoursPerWeek: median(slopes) * 7 * last.target, toldDays: points.length };
}

export interface FirstMonths {
  readonly first: number;
  readonly second: number;
  readonly hasFallen: boolean;
  readonly source: string;
}

const MORGENSTEIN =
  'Morgenstein A et al. Reported and measured wear rates. J Pediatr Orthop 2015;35(2):185-191, doi 10.1097/BPO.0000000000000205';

/**
 * The best early warning found: a fall in wear between the first and the second month of the brace predicted decline
 * (p < 0.001). Average hours told in days 0-29 and 30-59 after the fitting; fallen: by an hour or more (the study's
 * families told almost no fall, sensors 1.2 hours). Null: a month with nothing told. Pure.
 */
export function firstTwoMonths(record: readonly WearDayRecord[], fitted: string): FirstMonths | null {
  const hours = (from: number, to: number) =>
    record.flatMap((day) => {
      const since = dayOf(day.date) - dayOf(fitted);
      return day.told !== null && since >= from && since < to ? [middle(day.told)] : [];
    });
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const first = hours(0, 30);
  const second = hours(30, 60);
  if (first.length === 0 || second.length === 0) return null;
  const found = { first: mean(first), second: mean(second) };
  return { ...found, hasFallen: found.first - found.second >= 1, source: MORGENSTEIN };
}

export function median(sorted: readonly number[]): number {
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[half - 1] ?? upper)) / 2;
}
