import { DateTime } from 'luxon';
import { planCourse } from '../../core/course/course.js';
import { readCourseInput } from '../../core/course/read-input.js';
import type { CourseEvent } from '../../core/model/course-events.js';
import { loadProtocols } from '../../flows/protocols.js';
import { FLOWS_FOLDER } from '../flows-folder.js';

const ROUNDS = 2000;

/** One timed thing: milliseconds of each round. */
function timed(rounds: number, run: (round: number) => unknown): number[] {
  const times: number[] = [];
  for (let round = 0; round < rounds; round++) {
    const start = process.hrtime.bigint();
    run(round);
    times.push(Number(process.hrtime.bigint() - start) / 1e6);
  }
  return times.sort((a, b) => a - b);
}

const at = (sorted: readonly number[], share: number): string =>
  (sorted[Math.floor(share * (sorted.length - 1))] ?? 0).toFixed(4);

/** A child from birth to the reviews: six casts, tenotomy, brace, and every brace visit kept up to the fourth birthday. */
export function benchRecord(round: number): Record<string, unknown> {
  const events: CourseEvent[] = [];
  const date = (days: number) =>
    new Date(Date.UTC(2020, 0, 6) + days * 86_400_000).toISOString().slice(0, 10);
  for (let cast = 0; cast < 6; cast++) events.push({ type: 'cast', date: date(cast * 7), number: cast + 1 });
  events.push({ type: 'tenotomy', date: date(42) }, { type: 'cast', date: date(42), number: 7 });
  events.push({ type: 'cast-removed', date: date(63) }, { type: 'brace', date: date(63) });
  for (const days of [77, 154, 276, 398, 520, 642, 764, 886, 1008, 1190, 1372])
    events.push({ type: 'visit', date: date(days), kind: 'brace-check' });
  return {
    child: { id: `bench-${round}`, born: date(-14), feet: ['left', 'right'] },
    clinic: {
      timeZone: 'Africa/Kampala',
      clinicDays: ['monday', 'thursday'],
      holidays: [date(100), date(1000)],
    },
    protocol: 'standard',
    events: round % 2 === 0 ? events : events.slice(0, 10),
    asOf: round % 2 === 0 ? date(1380) : date(64),
  };
}

/**
 * Lines with the median and the 95th percentile of milliseconds for the full plan of one child (birth to the last
 * review), for reading its record from JSON values, and, as a reference of the same run, for 60 date additions by
 * luxon: about what the plan's dates alone would cost by a date library.
 */
export async function benchCourse(): Promise<string[]> {
  const { protocols } = loadProtocols(FLOWS_FOLDER);
  const protocol = protocols.get('standard');
  if (protocol === undefined)
    throw new Error('flows/protocols/standard.yaml has faults; run "toeline check"');
  const names = [...protocols.keys()];
  const records = Array.from({ length: ROUNDS }, (_, round) => benchRecord(round));
  const inputs = records.map((record) => {
    const read = readCourseInput(record, names);
    if (!read.isValid) throw new Error(JSON.stringify(read.faults));
    return read.input;
  });
  const planOf = (round: number) => {
    const input = inputs[round % ROUNDS];
    return input === undefined ? null : planCourse(input, protocol);
  };
  timed(ROUNDS, planOf);
  const plan = timed(ROUNDS, planOf);
  const read = timed(ROUNDS, (round) => readCourseInput(records[round], names));
  const start = DateTime.fromISO('2026-01-31', { zone: 'Africa/Kampala' });
  const reference = timed(ROUNDS, () => {
    for (let month = 0; month < 60; month++) start.plus({ months: month }).toISO();
  });
  return [
    'course: one child, birth to last review            median ms   95th percentile',
    `  full plan (planCourse)                            ${at(plan, 0.5)}      ${at(plan, 0.95)}`,
    `  reading and checking its record                   ${at(read, 0.5)}      ${at(read, 0.95)}`,
    `  reference: 60 monthly dates by luxon              ${at(reference, 0.5)}      ${at(reference, 0.95)}`,
  ];
}
