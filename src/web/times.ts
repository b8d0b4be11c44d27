import { DateTime } from 'luxon';
import type { Words } from './wording.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/** A length of time in the two largest units that matter: "25 min", "3 hr, 10 min", "2 days". Input in ms. */
export function lengthOfTime(ms: number, words: Words): string {
  const length = Math.max(0, ms);
  if (length < HOUR) return unit(Math.floor(length / MINUTE), 'minute', words);
  if (length < DAY) {
    const minutes = Math.floor((length % HOUR) / MINUTE);
    const hours = unit(Math.floor(length / HOUR), 'hour', words);
    return minutes === 0 ? hours : `${hours} ${unit(minutes, 'minute', words)}`;
  }
  const hours = Math.floor((length % DAY) / HOUR);
  const days = unit(Math.floor(length / DAY), 'day', words);
  return hours === 0 || length >= 7 * DAY ? days : `${days} ${unit(hours, 'hour', words)}`;
}

function unit(
  count: number,
  name: 'minute' | 'hour' | 'day' | 'week' | 'month' | 'year',
  words: Words,
): string {
  const unitDisplay = name === 'minute' || name === 'hour' ? 'short' : 'long';
  return new Intl.NumberFormat(words.locale, { style: 'unit', unit: name, unitDisplay }).format(count);
}

/** Date and clock time in the clinic's zone: "Tue 3 Mar, 14:20". */
export function moment(at: number, zone: string, words: Words): string {
  return new Intl.DateTimeFormat(words.locale, {
    timeZone: zone,
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(at);
}

/** Clock time in the clinic's zone: "14:20". */
export function clockTime(at: number, zone: string, words: Words): string {
  return new Intl.DateTimeFormat(words.locale, {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(at);
}

/** A date without a clock ("2026-03-03") for people: "Tue 3 Mar 2026". */
export function day(date: string, words: Words): string {
  return new Intl.DateTimeFormat(words.locale, {
    timeZone: 'UTC',
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
  }).format(Date.parse(`${date}T00:00:00Z`));
}

/** The local date of an instant in a zone, ISO. */
export function localDate(at: number, zone: string): string {
  return DateTime.fromMillis(at, { zone }).toISODate() ?? '';
}

/** Whole days from one ISO date to another; negative when `to` is earlier. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY);
}

/** A child's age as a nurse says it: weeks to three months, months to two years, then years and months. */
export function age(born: string, today: string, words: Words): string {
  const days = daysBetween(born, today);
  if (days < 14) return unit(Math.max(0, days), 'day', words);
  if (days < 92) return unit(Math.floor(days / 7), 'week', words);
  const months = Math.floor(
    DateTime.fromISO(today, { zone: 'utc' }).diff(DateTime.fromISO(born, { zone: 'utc' }), 'months').months,
  );
  if (months < 24) return unit(months, 'month', words);
  const years = unit(Math.floor(months / 12), 'year', words);
  return months % 12 === 0 ? years : `${years} ${unit(months % 12, 'month', words)}`;
}
