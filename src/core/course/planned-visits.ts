import type { CourseInput } from '../model/course-events.js';
import type { Day } from '../time/calendar-days.js';
import { braceVisits } from './brace-visits.js';
import { castingVisits, expectedCasting } from './casting-visits.js';
import type { ClinicCalendar } from './clinic-days.js';
import { earlierFootRemovals } from './earlier-foot.js';
import type { History } from './history.js';
import type { Protocol } from './protocol.js';
import { type Visit, withoutDoubles } from './visits.js';
import type { Watch } from './watch.js';

export interface PlannedVisits {
  /** All visits in order of their due dates. */
  readonly visits: readonly Visit[];
  /** The day the last cast of the whole child is to come off, while that lies ahead. */
  readonly plannedRemoval: Day | null;
  /** The same for a foot that finished before the other. */
  readonly earlierRemoval: Day | null;
}

/** Every visit of a course: kept, missed, standing next, and what follows if all goes as expected. */
export function plannedVisits(
  input: CourseInput,
  protocol: Protocol,
  calendar: ClinicCalendar,
  history: History,
  watch: Watch,
): PlannedVisits {
  const { child } = input;
  const casting = castingVisits(protocol, calendar, child, history.days);
  const visits: Visit[] = [...casting.settled];
  history.marks.forEach((mark, i) => {
    if (mark.stage !== 'brace') return;
    const time = { fitted: mark.fitted ?? mark.day, from: mark.day, end: history.marks[i + 1]?.day ?? null };
    visits.push(...braceVisits(protocol, calendar, child, time, history.days));
  });
  const { open } = casting;
  const standing = open === null ? [] : standingVisits(protocol, calendar, history, open, watch);
  const earlier = earlierFootRemovals(protocol, calendar, history, standing);
  const plannedRemoval = open?.kind === 'cast-removal' && !watch.passed(open.due) ? open.due : null;
  const earlierRemoval = earlier.find((visit) => !watch.passed(visit.due))?.due ?? null;
  visits.push(...standing, ...earlier);
  if (plannedRemoval !== null) {
    const time = { fitted: plannedRemoval, from: plannedRemoval, end: null };
    for (const visit of braceVisits(protocol, calendar, child, time, []))
      visits.push({ ...visit, isExpectation: true });
  }
  visits.sort((a, b) => a.due - b.due || (a.settledOn ?? a.due) - (b.settledOn ?? b.due));
  const single = withoutDoubles(calendar, visits).sort((a, b) => a.due - b.due);
  return { visits: single, plannedRemoval, earlierRemoval };
}

/** The visit that stands next in casting and, unless it is overdue, those expected after it. */
function standingVisits(
  protocol: Protocol,
  calendar: ClinicCalendar,
  history: History,
  open: Visit,
  watch: Watch,
): Visit[] {
  const stage = history.marks.at(-1)?.stage ?? 'before';
  if (watch.passed(open.to) || (stage !== 'before' && stage !== 'cast')) return [open];
  const counts = history.feet.map((foot) => foot.casts.filter((cast) => cast.series === foot.series).length);
  return [open, ...expectedCasting(protocol, calendar, open, Math.max(0, ...counts))];
}
