import { middle, type WearDayRecord } from './wear-record.js';

/** Average hours a day over a stretch, between what silence may hide. */
export interface WearBounds {
  readonly days: number;
  readonly toldDays: number;
  /** If every silent day was a day without the brace. */
  readonly ifSilentWasNone: number;
  /** If silent days were as those told; null: none was told. */
  readonly ifSilentWasAsTold: number | null;
  /** Average hours asked for; null: no brace was to be worn. */
  readonly target: number | null;
}

/**
 * The last `span` days up to and with the last of the record. Both bounds are given because nobody knows what a silent
 * day was: families who stop tend to go silent. Days with no brace to wear are left out. Pure.
 */
export function wearBounds(record: readonly WearDayRecord[], span: number): WearBounds {
  const days = record.slice(-span).filter((day) => day.target !== null);
  const told = days.flatMap((day) => (day.told === null ? [] : [middle(day.told)]));
  const sum = told.reduce((total, hours) => total + hours, 0);
  const asked = days.reduce((total, day) => total + (day.target ?? 0), 0);
  return {
    days: days.length,
    toldDays: told.length,
    ifSilentWasNone: days.length === 0 ? 0 : sum / days.length,
    ifSilentWasAsTold: told.length === 0 ? null : sum / told.length,
    target: days.length === 0 ? null : asked / days.length,
  };
}

/** The same for every day of the record, each over the `span` days before it: what a chart shows. Pure. */
export function rollingBounds(
  record: readonly WearDayRecord[],
  span: number,
): (WearBounds & { date: string })[] {
  return record.map((day, i) => ({
    date: day.date,
    ...wearBounds(record.slice(Math.max(0, i + 1 - span), i + 1), span),
  }));
}

export interface WearGaps {
  /** Longest run of days in a row told as worn less than a quarter of what was asked; silent days end a run. */
  readonly longestOff: number;
  /** Longest run of days nothing was told about. */
  readonly longestSilence: number;
}

/** Gap of more than a month: 35 of 46 feet relapsed against 26 of 49. Martinez AS et al. J Pediatr Orthop 2024;44(7):438-442. */
export const LONG_GAP_DAYS = 30;

/** Longest stretches without brace, and without word. Pure. */
export function wearGaps(record: readonly WearDayRecord[]): WearGaps {
  let longestOff = 0;
  let longestSilence = 0;
  let off = 0;
  let silence = 0;
  for (const day of record) {
    const isOff = day.target !== null && day.told !== null && day.told.high < day.target / 4;
    off = isOff ? off + 1 : 0;
    silence = day.target !== null && day.told === null ? silence + 1 : 0;
    longestOff = Math.max(longestOff, off);
    longestSilence = Math.max(longestSilence, silence);
  }
  return { longestOff, longestSilence };
}
