import type { CourseClinic } from '../model/course-events.js';
import { type Day, dayOf, WEEKDAYS, weekdayIndex } from '../time/calendar-days.js';
import { readClock } from '../time/zone-offsets.js';

/** A clinic's working calendar, made once per clinic record. */
export interface ClinicCalendar {
  readonly timeZone: string;
  /** Minutes past local midnight; texts go from `sendingFrom` up to, not including, `sendingTo`. */
  readonly sendingFrom: number;
  readonly sendingTo: number;
  isOpen(day: Day): boolean;
}

const calendars = new WeakMap<CourseClinic, ClinicCalendar>();

/** Reads a clinic's record; the same record object gives the same calendar (a pure memo, records are immutable). */
export function clinicCalendar(clinic: CourseClinic): ClinicCalendar {
  const known = calendars.get(clinic);
  if (known !== undefined) return known;
  const weekdays = WEEKDAYS.map((name) => clinic.clinicDays.includes(name));
  const closed = closedSet(clinic.holidays);
  const calendar: ClinicCalendar = {
    timeZone: clinic.timeZone,
    sendingFrom: readClock(clinic.sendingFrom ?? '08:00') ?? 480,
    sendingTo: readClock(clinic.sendingTo ?? '20:00') ?? 1200,
    isOpen: (day) => weekdays[weekdayIndex(day)] === true && !closed.has(day),
  };
  calendars.set(clinic, calendar);
  return calendar;
}

const closedSets = new WeakMap<readonly string[], ReadonlySet<Day>>();

/** Clinics of one country share one list of holidays: it is turned into days once. */
function closedSet(holidays: readonly string[]): ReadonlySet<Day> {
  const known = closedSets.get(holidays);
  if (known !== undefined) return known;
  const days = new Set(holidays.map(dayOf));
  closedSets.set(holidays, days);
  return days;
}

export interface Slot {
  readonly due: Day;
  readonly from: Day;
  readonly to: Day;
  /** False: no clinic day lies in the window; `due` is then the wished-for day itself and a person must arrange it. */
  readonly hasClinicDay: boolean;
}

/**
 * The clinic day nearest to the wished-for day inside the window, the earlier of two equally near: a cast or a
 * brace problem waits better before its day than after. Pure.
 */
export function nearestClinicDay(calendar: ClinicCalendar, target: Day, from: Day, to: Day): Slot {
  const reach = Math.max(target - from, to - target);
  for (let away = 0; away <= reach; away++) {
    const earlier = target - away;
    if (earlier >= from && earlier <= to && calendar.isOpen(earlier))
      return { due: earlier, from, to, hasClinicDay: true };
    const later = target + away;
    if (later >= from && later <= to && calendar.isOpen(later))
      return { due: later, from, to, hasClinicDay: true };
  }
  return { due: target, from, to, hasClinicDay: false };
}

/** The next open day from `day` on, looked for over a year; null when the clinic seems never open. */
export function nextClinicDay(calendar: ClinicCalendar, day: Day): Day | null {
  for (let d = day; d < day + 366; d++) if (calendar.isOpen(d)) return d;
  return null;
}
