import { join } from 'node:path';
import { type Course, planCourse } from '../../../src/core/course/course.js';
import type { Protocol } from '../../../src/core/course/protocol.js';
import { readCourseInput } from '../../../src/core/course/read-input.js';
import type { CourseEvent, CourseInput } from '../../../src/core/model/course-events.js';
import { loadProtocols } from '../../../src/flows/protocols.js';

/** Invented children and clinics for tests of the course. */

export const FLOWS = join(import.meta.dirname, '../../../flows');
const { protocols } = loadProtocols(FLOWS);
export const PROTOCOLS = [...protocols.keys()];

export function protocolNamed(name: string): Protocol {
  const protocol = protocols.get(name);
  if (protocol === undefined) throw new Error(`no protocol ${name} in ${FLOWS}`);
  return protocol;
}

export const EVERY_DAY = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const;

export interface Given {
  readonly born?: string;
  readonly feet?: ('left' | 'right')[];
  readonly clinicDays?: readonly string[];
  readonly holidays?: readonly string[];
  readonly timeZone?: string;
  readonly protocol?: string;
  readonly events?: readonly CourseEvent[];
  readonly asOf: string;
  readonly child?: Record<string, unknown>;
  readonly clinic?: Record<string, unknown>;
}

/** A record as it would stand on standard input. */
export function record(given: Given): Record<string, unknown> {
  return {
    child: {
      id: 'child-1',
      born: given.born ?? '2025-12-20',
      feet: given.feet ?? ['left', 'right'],
      ...given.child,
    },
    clinic: {
      timeZone: given.timeZone ?? 'Africa/Kampala',
      clinicDays: given.clinicDays ?? EVERY_DAY,
      holidays: given.holidays ?? [],
      ...given.clinic,
    },
    protocol: given.protocol ?? 'standard',
    events: given.events ?? [],
    asOf: given.asOf,
  };
}

export function input(given: Given): CourseInput {
  const read = readCourseInput(record(given), [...protocols.keys()]);
  if (!read.isValid) throw new Error(`not a valid record: ${JSON.stringify(read.faults)}`);
  return read.input;
}

export function courseOf(given: Given): Course {
  const checked = input(given);
  return planCourse(checked, protocolNamed(checked.protocol));
}

export function faultsOf(given: unknown): string[] {
  const read = readCourseInput(given, [...protocols.keys()]);
  return read.isValid ? [] : read.faults.map((fault) => `${fault.path}: ${fault.found} | ${fault.expected}`);
}

/** Casts on the given dates, numbered from `from`. */
export function casts(dates: readonly string[], from = 1): CourseEvent[] {
  return dates.map((date, i) => ({ type: 'cast', date, number: from + i }));
}

/** A whole usual beginning: six weekly casts from 2026-01-05, tenotomy 2026-02-16, brace 2026-03-09. */
export const TO_BRACE: readonly CourseEvent[] = [
  ...casts(['2026-01-05', '2026-01-12', '2026-01-19', '2026-01-26', '2026-02-02', '2026-02-09']),
  { type: 'tenotomy', date: '2026-02-16' },
  { type: 'cast', date: '2026-02-16', number: 7 },
  { type: 'cast-removed', date: '2026-03-09' },
  { type: 'brace', date: '2026-03-09' },
];

/** As `TO_BRACE`, but the brace goes on (and the last cast comes off) on this day. */
export function bracedOn(date: string): CourseEvent[] {
  const at = (days: number) => new Date(Date.parse(date) + days * 86_400_000).toISOString().slice(0, 10);
  return [
    ...casts([at(-35), at(-28)]),
    { type: 'tenotomy', date: at(-21) },
    { type: 'cast', date: at(-21), number: 3 },
    { type: 'cast-removed', date },
    { type: 'brace', date },
  ];
}
