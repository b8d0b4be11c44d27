import { DateTime } from 'luxon';
import type { Urgency } from '../model/signs.js';

/** When somebody is at the clinic to act. */
export interface ClinicHours {
  readonly timeZone: string;
  /** Local clock times "HH:MM"; `closes` is after `opens` on the same day. */
  readonly opens: string;
  readonly closes: string;
  /** English weekday names in lower case on which staff are there ("monday"). Empty: every day. */
  readonly days: readonly string[];
  /** ISO dates without staff (holidays, closures). */
  readonly closed: readonly string[];
}

/** `today` never waits longer than this by the clock, whatever the clinic's hours. Common practice, no source. */
export const TODAY_AT_MOST_MINUTES = 24 * 60;
const LOOK_AHEAD_DAYS = 60;
const MINUTE = 60_000;

/**
 * The instant (ms) until which a person must have acted. `now` is counted by the clock, day and night; `today` and
 * `soon` in the clinic's open minutes in its own zone, `today` at most 24 hours. A clinic that does not open within
 * 60 days is counted by the clock. Pure.
 *
 * @example dueAt(fridayAt1530, { urgency: 'today', limitMinutes: 60 }, hoursTo16) // Saturday 15:30: 24 h at most
 */
export function dueAt(
  openedAt: number,
  flag: { readonly urgency: Urgency; readonly limitMinutes: number },
  hours: ClinicHours,
): number {
  const byClock = openedAt + flag.limitMinutes * MINUTE;
  if (flag.urgency === 'now') return byClock;
  const inHours = afterOpenMinutes(openedAt, flag.limitMinutes, hours) ?? byClock;
  return flag.urgency === 'today' ? Math.min(inHours, openedAt + TODAY_AT_MOST_MINUTES * MINUTE) : inHours;
}

/** Whether the clinic is open at an instant (ms). */
export function isOpen(at: number, hours: ClinicHours): boolean {
  const span = openSpan(DateTime.fromMillis(at, { zone: hours.timeZone }), hours);
  return span !== null && at >= span.from && at < span.to;
}

/** The instant when so many open minutes have passed, or null when the clinic does not open for 60 days. */
function afterOpenMinutes(from: number, minutes: number, hours: ClinicHours): number | null {
  let left = minutes * MINUTE;
  let day = DateTime.fromMillis(from, { zone: hours.timeZone }).startOf('day');
  for (let count = 0; count <= LOOK_AHEAD_DAYS; count += 1) {
    const span = openSpan(day, hours);
    if (span) {
      const start = Math.max(from, span.from);
      const available = span.to - start;
      if (available > 0 && left <= available) return start + left;
      if (available > 0) left -= available;
    }
    day = day.plus({ days: 1 });
  }
  return null;
}

function openSpan(day: DateTime, hours: ClinicHours): { from: number; to: number } | null {
  if (hours.closed.includes(day.toISODate() ?? '')) return null;
  const weekday = day.setLocale('en').weekdayLong?.toLowerCase() ?? '';
  if (hours.days.length > 0 && !hours.days.includes(weekday)) return null;
  return { from: atClock(day, hours.opens), to: atClock(day, hours.closes) };
}

function atClock(day: DateTime, clock: string): number {
  const [hour, minute] = clock.split(':').map(Number);
  return day
    .startOf('day')
    .set({ hour: hour ?? 0, minute: minute ?? 0 })
    .toMillis();
}
