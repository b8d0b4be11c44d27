import { planCourse } from '../core/course/course.js';
import { sayFault } from '../core/course/faults.js';
import type { Protocol } from '../core/course/protocol.js';
import { readCourseInput } from '../core/course/read-input.js';
import { isoOf } from '../core/time/calendar-days.js';
import { localDayOf } from '../core/time/zone-offsets.js';
import type { CoursePlan, PlanCourse } from '../store/course-record.js';

/** A stored record the course cannot be computed from; `message` lists every fault for the person who must mend it. */
export class BrokenRecord extends Error {
  constructor(
    readonly childId: string,
    readonly faults: readonly string[],
  ) {
    super(`the record of child ${childId} has faults: ${faults.join('; ')}`);
    this.name = 'BrokenRecord';
  }
}

/**
 * The course as the record's planner calls it: the local date of `now` in the clinic's zone is the day it is computed
 * for. Throws `BrokenRecord` when the stored events contradict each other or the protocol is not among those given;
 * the caller shows it to a person and leaves the child's texts as they are.
 */
export function coursePlanner(protocols: ReadonlyMap<string, Protocol>): PlanCourse {
  const names = [...protocols.keys()];
  return (record, now, until): CoursePlan => {
    const asOf = isoOf(localDayOf(record.clinic.timeZone, now));
    const { chosenHour, child, ...rest } = record;
    const given = { ...rest, child: chosenHour === null ? child : { ...child, textHour: chosenHour }, asOf };
    const read = readCourseInput(given, names);
    const protocol = read.isValid ? protocols.get(read.input.protocol) : undefined;
    if (!read.isValid || protocol === undefined)
      throw new BrokenRecord(child.id, read.isValid ? [] : read.faults.map(sayFault));
    const course = planCourse(read.input, protocol, { withUnexpired: true });
    const texts = course.texts.map((text) => ({
      kind: text.kind,
      forWhat: text.for,
      dueAt: Date.parse(text.at),
      expiresAt: Date.parse(text.expires),
    }));
    return {
      phase: course.phase,
      visits: course.visits,
      texts: texts.filter((text) => text.dueAt < until && text.expiresAt > now),
    };
  };
}
