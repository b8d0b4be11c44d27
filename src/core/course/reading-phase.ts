import type { ReadingPhase } from '../model/signs.js';
import { dayOf } from '../time/calendar-days.js';
import type { Course, CoursePhase } from './course.js';

/** Where a child stands on one day, as conversation and triage need it. Dates are local to the clinic. */
export interface CourseDay {
  readonly phase: ReadingPhase | null;
  readonly dayInPhase: number | null;
  readonly castDay: number | null;
  readonly tenotomyDay: number | null;
  readonly nextVisit: string | null;
  readonly wearTargetHours: number | null;
}

/** The span that holds a date; null before birth. */
export function phaseOn(course: Course, date: string): CoursePhase | null {
  return course.phases.find((span) => span.from <= date && (span.to === null || date < span.to)) ?? null;
}

/** The reader's phase on an ISO date: only cast and brace times have words of their own; null otherwise. */
export function readingPhaseOf(course: Course, date: string): ReadingPhase | null {
  const phase = phaseOn(course, date)?.phase;
  return phase === 'cast' || phase === 'tenotomy' || phase === 'brace-day' || phase === 'brace-night'
    ? phase
    : null;
}

/** Whole days since the phase of this date began; 0 on its first day, null when no phase holds the date. */
export function dayInPhase(course: Course, date: string): number | null {
  const span = phaseOn(course, date);
  return span === null ? null : dayOf(date) - dayOf(span.from);
}

/** All of it at once. The course must have been computed for this date or a day shortly before. */
export function courseDay(course: Course, date: string): CourseDay {
  const day = dayOf(date);
  const since = (dates: readonly (string | null)[]) => {
    const known = dates.filter((iso) => iso !== null && iso <= date).map((iso) => day - dayOf(iso ?? date));
    return known.length === 0 ? null : Math.min(...known);
  };
  const next = course.visits.find(
    (visit) => visit.status !== 'kept' && visit.status !== 'missed' && visit.due >= date,
  );
  return {
    phase: readingPhaseOf(course, date),
    dayInPhase: dayInPhase(course, date),
    castDay: since(course.feet.map((foot) => foot.castOn)),
    tenotomyDay: since(course.feet.map((foot) => foot.tenotomy)),
    nextVisit: next?.due ?? null,
    wearTargetHours: wearHours(course, date),
  };
}

function wearHours(course: Course, date: string): number | null {
  const step = course.wearSteps.find((span) => span.from <= date && (span.to === null || date < span.to));
  return step?.hoursFrom ?? null;
}
