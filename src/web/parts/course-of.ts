import { type Course, planCourse } from '../../core/course/course.js';
import { type InputFault, sayFault } from '../../core/course/faults.js';
import type { Protocol } from '../../core/course/protocol.js';
import { readCourseInput } from '../../core/course/read-input.js';
import type { CourseInput } from '../../core/model/course-events.js';
import type { ChildRecord } from '../../store/course-record.js';

export type MadeCourse =
  | { readonly kind: 'course'; readonly course: Course }
  | { readonly kind: 'faults'; readonly faults: readonly string[] };

/** The dated course of a stored record on a local ISO date, or every fault of the record as sentences. Pure. */
export function courseOf(
  record: ChildRecord,
  asOf: string,
  protocols: ReadonlyMap<string, Protocol>,
): MadeCourse {
  const read = inputOf(record, asOf, protocols);
  return read.kind === 'faults' ? read : { kind: 'course', course: planCourse(read.input, read.protocol) };
}

/** A stored record as the course reads it, checked. Pure. */
export function inputOf(
  record: ChildRecord,
  asOf: string,
  protocols: ReadonlyMap<string, Protocol>,
):
  | { readonly kind: 'input'; readonly input: CourseInput; readonly protocol: Protocol }
  | { readonly kind: 'faults'; readonly faults: readonly string[] } {
  const { id, born, feet, weeksEarly } = record.child;
  const { timeZone, clinicDays, holidays, sendingFrom, sendingTo } = record.clinic;
  const read = readCourseInput(
    {
      child: { id, born, feet, weeksEarly },
      clinic: { timeZone, clinicDays, holidays, sendingFrom, sendingTo },
      protocol: record.protocol,
      events: record.events,
      asOf,
    },
    [...protocols.keys()],
  );
  if (!read.isValid) return { kind: 'faults', faults: read.faults.map((fault) => sayFor(fault, record)) };
  const protocol = protocols.get(read.input.protocol);
  if (protocol === undefined) {
    return { kind: 'faults', faults: [`protocol: ${read.input.protocol} is not set up`] };
  }
  return { kind: 'input', input: read.input, protocol };
}

/** A fault as a nurse finds it again: by what was recorded and its day instead of its place in a list. */
function sayFor(fault: InputFault, record: ChildRecord): string {
  const event = record.events[Number(/^events\[(\d+)\]/.exec(fault.path)?.[1] ?? -1)];
  if (event === undefined) return sayFault(fault);
  return `${event.type} of ${event.date}: found ${fault.found}; expected ${fault.expected}`;
}
