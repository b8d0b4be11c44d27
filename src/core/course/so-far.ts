import type { CourseChild, CourseEvent, Foot } from '../model/course-events.js';
import type { Day } from '../time/calendar-days.js';
import type { InputFault } from './faults.js';

/** What the checks know about one foot so far. */
export interface FootSoFar {
  readonly foot: Foot;
  castOn: Day | null;
  lastCastDay: Day | null;
  lastNumber: number;
  castsInSeries: number;
  tenotomy: Day | null;
  castOff: Day | null;
  isInBrace: boolean;
  lastFitting: Day | null;
}

export interface SoFar {
  readonly child: CourseChild;
  readonly feet: readonly FootSoFar[];
  readonly hasHistoryElsewhere: boolean;
  leftOn: Day | null;
  hasFirstVisit: boolean;
}

/** One event with its place in the input and all events of its day. */
export interface Placed<E extends CourseEvent = CourseEvent> {
  readonly event: E;
  readonly day: Day;
  readonly path: string;
  readonly today: readonly CourseEvent[];
}

export const fault = (path: string, found: string, expected: string): InputFault => ({
  path,
  found,
  expected,
});
