/**
 * Calendar arithmetic on whole days. A `Day` is the number of days since 1970-01-01 in the proleptic Gregorian
 * calendar: it has no clock and no zone, so no change of summer time can move it. Formulas: H. Hinnant,
 * "chrono-compatible low-level date algorithms" (days_from_civil, civil_from_days), 2013.
 */
export type Day = number;

export interface Civil {
  readonly year: number;
  /** 1..12 */
  readonly month: number;
  /** 1..31 */
  readonly day: number;
}

export const WEEKDAYS = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const;
export type Weekday = (typeof WEEKDAYS)[number];

/** Days since 1970-01-01 of a civil date. Does not check that the date exists; see `readDay`. */
export function dayOfCivil(year: number, month: number, day: number): Day {
  const shifted = month <= 2 ? year - 1 : year;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146097 + dayOfEra - 719468;
}

/** The civil date of a day number. */
export function civilOfDay(day: Day): Civil {
  const z = day + 719468;
  const era = Math.floor(z / 146097);
  const dayOfEra = z - era * 146097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36524) - Math.floor(dayOfEra / 146096)) /
      365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const mp = Math.floor((5 * dayOfYear + 2) / 153);
  const month = mp < 10 ? mp + 3 : mp - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * mp + 2) / 5) + 1,
  };
}

export function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

const ISO_DATE = /^(\d{4})-(\d{2})-(\d{2})$/;

/** Reads "YYYY-MM-DD"; null when it is not one or names a day that does not exist (2026-02-30). */
export function readDay(iso: string): Day | null {
  const parts = ISO_DATE.exec(iso);
  if (parts === null) return null;
  const year = Number(parts[1]);
  const month = Number(parts[2]);
  const day = Number(parts[3]);
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) return null;
  return dayOfCivil(year, month, day);
}

/** As `readDay`, for dates already checked. Throws RangeError on anything else. */
export function dayOf(iso: string): Day {
  const day = readDay(iso);
  if (day === null) throw new RangeError(`"${iso}" is not a date of the form YYYY-MM-DD`);
  return day;
}

/** A pure memo: one course names the same few hundred days again and again. Bounded to 1900..2199. */
const isoTexts = new Map<Day, string>();
const FIRST_KEPT = dayOfCivil(1900, 1, 1);
const LAST_KEPT = dayOfCivil(2199, 12, 31);

/** "YYYY-MM-DD" of a day number. */
export function isoOf(day: Day): string {
  const known = isoTexts.get(day);
  if (known !== undefined) return known;
  const { year, month, day: date } = civilOfDay(day);
  const text = `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(date).padStart(2, '0')}`;
  if (day >= FIRST_KEPT && day <= LAST_KEPT) isoTexts.set(day, text);
  return text;
}

/** The same date `months` calendar months later (earlier when negative); month ends are clamped: 31 January + 3 = 30 April. */
export function addMonths(day: Day, months: number): Day {
  const { year, month, day: date } = civilOfDay(day);
  const count = year * 12 + (month - 1) + months;
  const newYear = Math.floor(count / 12);
  const newMonth = count - newYear * 12 + 1;
  return dayOfCivil(newYear, newMonth, Math.min(date, daysInMonth(newYear, newMonth)));
}

/** A birthday: 29 February becomes 28 February in a year that has none. */
export function addYears(day: Day, years: number): Day {
  return addMonths(day, years * 12);
}

/** 0 is Monday, 6 is Sunday. 1970-01-01 was a Thursday. */
export function weekdayIndex(day: Day): number {
  return (((day + 3) % 7) + 7) % 7;
}

/** Whole calendar months from one day to another; 0 while the first month runs. */
export function monthsBetween(from: Day, to: Day): number {
  const a = civilOfDay(from);
  const b = civilOfDay(to);
  const months = (b.year - a.year) * 12 + (b.month - a.month);
  return addMonths(from, months) <= to ? months : months - 1;
}
