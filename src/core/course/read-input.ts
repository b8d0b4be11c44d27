import { z } from 'zod';
import {
  type CourseChild,
  type CourseClinic,
  type CourseEvent,
  type CourseInput,
  courseChild,
  courseClinic,
  courseEvent,
} from '../model/course-events.js';
import { addYears, isoOf, readDay } from '../time/calendar-days.js';
import { localDayOf } from '../time/zone-offsets.js';
import { dateFaults } from './date-faults.js';
import { type InputFault, sayPath, sayValue } from './faults.js';
import { sequenceFaults } from './sequence-faults.js';

export type ReadInput =
  | { readonly isValid: true; readonly input: CourseInput }
  | { readonly isValid: false; readonly faults: readonly InputFault[] };

const KEYS = ['child', 'clinic', 'protocol', 'events', 'asOf'] as const;
/** Nobody older is a child in treatment; a birth year that far back is a slip of the pen. */
const OLDEST_YEARS = 30;

/**
 * Checks a record from outside and tells every fault with its path: first shapes, then dates against birth and
 * `asOf`, then, when all events could be read, their order (a brace before the cast came off). Pure.
 * `asOf` may be a local date or an ISO instant with offset; an instant becomes the clinic's local date.
 * @param protocols names of the protocols that exist
 */
export function readCourseInput(given: unknown, protocols: readonly string[]): ReadInput {
  if (typeof given !== 'object' || given === null || Array.isArray(given))
    return {
      isValid: false,
      faults: [{ path: '', found: sayValue(given), expected: `an object with ${KEYS.join(', ')}` }],
    };
  const record = given as Record<string, unknown>;
  const faults: InputFault[] = [];
  for (const key of Object.keys(record))
    if (!(KEYS as readonly string[]).includes(key))
      faults.push({ path: key, found: 'an unknown key', expected: `only ${KEYS.join(', ')}` });
  const child = shape<CourseChild>(courseChild, record.child, ['child'], faults);
  const clinic = shape<CourseClinic>(courseClinic, record.clinic, ['clinic'], faults);
  const protocol = readProtocol(record.protocol, protocols, faults);
  const asOf = readAsOf(record.asOf, clinic, faults);
  const events = readEvents(record.events, faults);
  const born = readDay(String((record.child as { born?: unknown } | undefined)?.born ?? ''));
  if (born !== null && asOf !== null) checkBirth(born, asOf, faults);
  faults.push(...dateFaults(events, born, asOf));
  const isWhole = events.every((event) => event !== null) && Array.isArray(record.events);
  if (child !== null && isWhole) faults.push(...sequenceFaults(child, events as CourseEvent[]));
  if (faults.length > 0 || child === null || clinic === null || protocol === null || asOf === null)
    return { isValid: false, faults };
  return {
    isValid: true,
    input: { child, clinic, protocol, events: events as CourseEvent[], asOf: isoOf(asOf) },
  };
}

function readEvents(given: unknown, faults: InputFault[]): (CourseEvent | null)[] {
  if (!Array.isArray(given)) {
    faults.push({ path: 'events', found: sayValue(given), expected: 'a list of events' });
    return [];
  }
  return given.map((event: unknown, i) => shape<CourseEvent>(courseEvent, event, ['events', i], faults));
}

function readProtocol(given: unknown, protocols: readonly string[], faults: InputFault[]): string | null {
  if (typeof given === 'string' && protocols.includes(given)) return given;
  faults.push({ path: 'protocol', found: sayValue(given), expected: `one of ${protocols.join(', ')}` });
  return null;
}

function readAsOf(given: unknown, clinic: CourseClinic | null, faults: InputFault[]): number | null {
  if (typeof given === 'string') {
    const day = readDay(given);
    if (day !== null) return day;
    const instant =
      /^\d{4}-\d{2}-\d{2}T/.test(given) && z.iso.datetime({ offset: true }).safeParse(given).success;
    if (instant) return clinic === null ? null : localDayOf(clinic.timeZone, Date.parse(given));
  }
  faults.push({
    path: 'asOf',
    found: sayValue(given),
    expected: 'a date "YYYY-MM-DD" that exists in the calendar',
  });
  return null;
}

function checkBirth(born: number, asOf: number, faults: InputFault[]): void {
  if (born > asOf)
    faults.push({
      path: 'child.born',
      found: isoOf(born),
      expected: `a day not after asOf (${isoOf(asOf)})`,
    });
  else if (addYears(born, OLDEST_YEARS) < asOf)
    faults.push({
      path: 'child.born',
      found: isoOf(born),
      expected: `a birth at most ${OLDEST_YEARS} years before asOf (${isoOf(asOf)})`,
    });
}

/** Reads one part; null when it is wrong, its faults added. */
function shape<Value>(
  schema: z.ZodType<Value>,
  given: unknown,
  at: (string | number)[],
  faults: InputFault[],
): Value | null {
  const result = schema.safeParse(given);
  if (result.success) return result.data;
  for (const issue of result.error.issues) faults.push(...issueFaults(issue, given, at));
  return null;
}

function issueFaults(issue: z.core.$ZodIssue, given: unknown, at: (string | number)[]): InputFault[] {
  const path = [...at, ...issue.path];
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => ({
      path: sayPath([...path, key]),
      found: 'an unknown key',
      expected: 'no such key here: take it away or correct its spelling',
    }));
  const found = issue.path.reduce<unknown>(
    (value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key],
    given,
  );
  return [{ path: sayPath(path), found: sayValue(found), expected: wanted(issue) }];
}

/** The sentence after "expected". Messages of our schemas begin with that word; of zod's own, the type is said. */
function wanted(issue: z.core.$ZodIssue): string {
  const text = issue.message.startsWith('expected ')
    ? issue.message.slice('expected '.length)
    : issue.message;
  if (issue.code === 'invalid_type' && !issue.message.startsWith('expected')) return `${issue.expected}`;
  return text;
}
