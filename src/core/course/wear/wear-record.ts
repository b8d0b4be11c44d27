import { type Day, dayOf, isoOf } from '../../time/calendar-days.js';

/** Hours of wear of one local day as the family told them; a range when they told one. */
export interface ToldWear {
  /** ISO date. */
  readonly date: string;
  readonly low: number;
  readonly high: number;
}

/** What was asked for on a day: hours in 24. */
export interface WearAim {
  readonly hoursFrom: number;
  readonly hoursTo: number;
  readonly from: string;
  /** Null: no end known. */
  readonly to: string | null;
}

export interface WearDayRecord {
  readonly date: string;
  /** Null: the family told nothing about this day. Silence is never counted as wear, nor as none. */
  readonly told: { readonly low: number; readonly high: number } | null;
  /** Least hours asked for; null: no brace that day. */
  readonly target: number | null;
}

/** One row a day from the first to the last, silent days included. Days told twice: the later in the list stands. Pure. */
export function wearRecord(
  told: readonly ToldWear[],
  aims: readonly WearAim[],
  from: string,
  to: string,
): WearDayRecord[] {
  const byDate = new Map(told.map((day) => [day.date, { low: day.low, high: day.high }]));
  const days: WearDayRecord[] = [];
  for (let day: Day = dayOf(from); day <= dayOf(to); day++) {
    const date = isoOf(day);
    days.push({ date, told: byDate.get(date) ?? null, target: targetOn(aims, date) });
  }
  return days;
}

/** Least hours asked for on a date; null when no step holds it. */
export function targetOn(aims: readonly WearAim[], date: string): number | null {
  const aim = aims.find((one) => one.from <= date && (one.to === null || date < one.to));
  return aim?.hoursFrom ?? null;
}

export const middle = (told: { readonly low: number; readonly high: number }): number =>
  (told.low + told.high) / 2;
