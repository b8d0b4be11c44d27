import { DateTime } from 'luxon';

export interface SendingHours {
  /** IANA zone. */
  readonly timeZone: string;
  /** Local clock times "HH:MM"; from is inside, to is not. */
  readonly sendingFrom: string;
  readonly sendingTo: string;
}

/**
 * The first instant (ms) from `now` on at which a text may go: `now` itself inside sending hours, else the next
 * opening. An opening that does not exist on the day the clocks go forward is the instant they go to. Pure.
 *
 * @example nextSendingTime(sixInTheMorning, hoursFrom8To20) // eight the same morning
 */
export function nextSendingTime(now: number, hours: SendingHours): number {
  const local = DateTime.fromMillis(now, { zone: hours.timeZone });
  const opens = clockOn(local, hours.sendingFrom);
  if (now < opens) return opens;
  if (now < clockOn(local, hours.sendingTo)) return now;
  return clockOn(local.plus({ days: 1 }), hours.sendingFrom);
}

/** The local date (ISO) at an instant (ms). */
export function localDay(now: number, timeZone: string): string {
  return DateTime.fromMillis(now, { zone: timeZone }).toISODate() ?? '';
}

/** The first instant (ms) of the local day after the one at `now`. */
export function nextLocalDay(now: number, timeZone: string): number {
  return DateTime.fromMillis(now, { zone: timeZone }).startOf('day').plus({ days: 1 }).toMillis();
}

function clockOn(day: DateTime, clock: string): number {
  const [hour, minute] = clock.split(':').map(Number);
  return day
    .startOf('day')
    .set({ hour: hour ?? 0, minute: minute ?? 0 })
    .toMillis();
}
