import Holidays from 'date-holidays';

const known = new Map<string, readonly string[]>();

export interface HolidayPlace {
  /** ISO 3166-1 code, "UG"; with a region where the country's own days differ by one. */
  readonly country: string;
  readonly state?: string;
}

/**
 * Public holidays of a country as ISO dates, from the first to the last year, in order and each once; the course takes
 * them as closed days. From the package date-holidays; feasts that follow the moon are its estimates and can fall a
 * day off, so a clinic's own closures always come on top. An unknown country throws, naming it.
 */
export function publicHolidays(place: HolidayPlace, fromYear: number, toYear: number): readonly string[] {
  const key = `${place.country} ${place.state ?? ''} ${fromYear} ${toYear}`;
  const kept = known.get(key);
  if (kept !== undefined) return kept;
  const calendar = new Holidays();
  if (!(place.country in calendar.getCountries()))
    throw new RangeError(
      `no holidays are known for "${place.country}"; expected a country code such as UG, IN or BR`,
    );
  if (place.state === undefined) calendar.init(place.country, { types: ['public'] });
  else calendar.init(place.country, place.state, { types: ['public'] });
  const dates = new Set<string>();
  for (let year = fromYear; year <= toYear; year++)
    for (const holiday of calendar.getHolidays(year)) for (const date of daysOf(holiday)) dates.add(date);
  const sorted = [...dates].sort();
  known.set(key, sorted);
  return sorted;
}

/**
 * Closed days of clinics: public holidays of the country ("KE", or "IN-KA" with its region) and the clinic's own
 * closures, eight years back (visits kept) and eighteen on (reviews up to the age of sixteen). The same clinic gets
 * the same list object. A country nobody knows holidays of has its closures alone.
 */
export function closedDaysAround(
  year: number,
): (country: string, closures: readonly string[]) => readonly string[] {
  const made = new Map<string, readonly string[]>();
  return (country, closures) => {
    const key = `${country} ${closures.join()}`;
    const kept = made.get(key);
    if (kept !== undefined) return kept;
    const [code = '', state] = country.toUpperCase().split('-');
    const place = state === undefined ? { country: code } : { country: code, state };
    const days = [...new Set([...holidaysOrNone(place, year), ...closures])].sort();
    made.set(key, days);
    return days;
  };
}

function holidaysOrNone(place: HolidayPlace, year: number): readonly string[] {
  try {
    return publicHolidays(place, year - 8, year + 18);
  } catch (error) {
    if (error instanceof RangeError) return [];
    throw error;
  }
}

/** Every local date a holiday touches; its length is given by start and end. */
function daysOf(holiday: { date: string; start: Date; end: Date }): string[] {
  const first = holiday.date.slice(0, 10);
  const days = Math.max(1, Math.round((holiday.end.getTime() - holiday.start.getTime()) / 86_400_000));
  return Array.from({ length: days }, (_, i) =>
    new Date(Date.parse(`${first}T00:00:00Z`) + i * 86_400_000).toISOString().slice(0, 10),
  );
}
