import type { CourseEvent } from '../model/course-events.js';
import { type Day, dayOf, isoOf } from '../time/calendar-days.js';
import type { InputFault } from './faults.js';

/**
 * Dates that cannot be: before the child was born, or after the day the course is asked for. Events that could not
 * be read are null and were told elsewhere; a null birth or `asOf` leaves its own check out. Pure.
 */
export function dateFaults(
  events: readonly (CourseEvent | null)[],
  born: Day | null,
  asOf: Day | null,
): InputFault[] {
  const faults: InputFault[] = [];
  events.forEach((event, i) => {
    if (event === null) return;
    const day = dayOf(event.date);
    const path = `events[${i}].date`;
    if (born !== null && day < born)
      faults.push({
        path,
        found: event.date,
        expected: `a day not before the child was born (${isoOf(born)})`,
      });
    if (asOf !== null && day > asOf)
      faults.push({
        path,
        found: event.date,
        expected: `a day not in the future (after asOf, ${isoOf(asOf)})`,
      });
  });
  return faults;
}
