import type { CourseInput, VisitKind } from '../model/course-events.js';
import { type Day, dayOf, isoOf } from '../time/calendar-days.js';
import type { CourseAlert } from './alert.js';
import { courseAlerts } from './alerts.js';
import { clinicCalendar } from './clinic-days.js';
import { type FootCourse, footCourse } from './foot-course.js';
import { type History, tellHistory } from './history.js';
import { type Phase, type PhaseSpan, phaseSpans, type WearSpan } from './phases.js';
import { plannedVisits } from './planned-visits.js';
import type { Protocol } from './protocol.js';
import { type CourseText, dueTexts } from './texts.js';
import { tracedVisits } from './tracing.js';
import { statusOf, type Visit, type VisitStatus } from './visits.js';
import { Watch } from './watch.js';

export interface CoursePhase {
  readonly phase: Phase;
  /** First day; each phase begins on the day the one before ends. ISO date. */
  readonly from: string;
  /** The day the next phase begins; null: not known. ISO date. */
  readonly to: string | null;
}

export interface CourseVisit {
  readonly kind: VisitKind;
  readonly due: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly status: VisitStatus;
  /** The day the child came; kept visits only. */
  readonly keptOn?: string;
  /** The day recorded as missed. */
  readonly missedOn?: string;
  /** Follows only if every cast before it does its work; not announced to the family yet. */
  readonly isExpectation?: true;
}

export interface WearTarget {
  /** Least hours in 24 that the step asks for. */
  readonly hoursPerDay: number;
  /** Most hours, when the step gives a range. */
  readonly hoursPerDayTo?: number;
}

export interface WearStepSpan extends CoursePhase {
  readonly hoursFrom: number;
  readonly hoursTo: number;
}

/** A child's dated course on one day. */
export interface Course {
  readonly phase: Phase;
  readonly phases: readonly CoursePhase[];
  readonly visits: readonly CourseVisit[];
  readonly wearTarget: WearTarget | null;
  readonly texts: readonly CourseText[];
  readonly alerts: readonly CourseAlert[];
  readonly feet: readonly FootCourse[];
  readonly wearSteps: readonly WearStepSpan[];
  /** The day it was computed for (local date in the clinic's zone). */
  readonly asOf: string;
  /** First later day on which it changes by the passing of time alone; null: never. */
  readonly nextChange: string | null;
}

export interface PlanOptions {
  /** Texts also hold those of past days that have not gone stale, for a sender that was down. */
  readonly withUnexpired?: boolean;
}

/**
 * The dated course of one child: phases, visits, wear target, texts due from `asOf` on, and what a person must
 * judge. Pure: the same input gives the same course; dates are local dates in the clinic's time zone. The input
 * must have passed `readCourseInput`.
 */
export function planCourse(input: CourseInput, protocol: Protocol, options: PlanOptions = {}): Course {
  const watch = new Watch(dayOf(input.asOf));
  const calendar = clinicCalendar(input.clinic);
  const history = tellHistory(input.child, input.events);
  const { visits, plannedRemoval, earlierRemoval } = plannedVisits(input, protocol, calendar, history, watch);
  const { phases, wear } = phaseSpans(protocol, input.child, history.marks, plannedRemoval);
  const traced = tracedVisits(protocol, visits, watch);
  const phase = current(phases, watch)?.phase ?? 'before';
  const anchors = {
    castOn: latest(history.feet.map((foot) => foot.castOn)),
    tenotomy: latest(history.feet.map((foot) => (foot.stage === 'tenotomy' ? foot.tenotomy : null))),
    castOff: plannedRemoval ?? earlierRemoval ?? latest(history.feet.map((foot) => foot.castOff)),
    braceFrom: history.braceFrom,
    lastFitting: history.lastFitting,
    nightFrom: nightFrom(history, wear),
  };
  const isCaredFor = phase !== 'discharged';
  const texts = isCaredFor
    ? dueTexts({ protocol, calendar, child: input.child, phases, visits, traced, anchors, watch, ...options })
    : [];
  const alerts = courseAlerts({
    protocol,
    calendar,
    born: input.child.born,
    history,
    wear,
    visits,
    traced,
    watch,
  });
  return {
    phase,
    phases: phases.map(shownPhase),
    visits: visits.map((visit) => shownVisit(visit, watch)),
    wearTarget: wearTarget(wear, watch),
    texts,
    alerts,
    feet: history.feet.map((foot) => footCourse(protocol, foot)),
    wearSteps: wear.map((span) => ({
      ...shownPhase(span),
      hoursFrom: span.hoursFrom,
      hoursTo: span.hoursTo,
    })),
    asOf: input.asOf,
    nextChange: watch.next === null ? null : isoOf(watch.next),
  };
}

/** The first day after `asOf` on which this course must be computed again; null: only a new event can change it. */
export function nextChangeAt(course: Course): string | null {
  return course.nextChange;
}

function latest(days: readonly (Day | null)[]): Day | null {
  let last: Day | null = null;
  for (const day of days) if (day !== null && (last === null || day > last)) last = day;
  return last;
}

function current<Span extends PhaseSpan>(spans: readonly Span[], watch: Watch): Span | undefined {
  let found: Span | undefined;
  for (const span of spans) if (watch.reached(span.from)) found = span;
  return found;
}

function wearTarget(wear: readonly WearSpan[], watch: Watch): WearTarget | null {
  const step = wear.find((span) => watch.reached(span.from) && (span.to === null || !watch.reached(span.to)));
  if (step === undefined) return null;
  return {
    hoursPerDay: step.hoursFrom,
    ...(step.hoursTo === step.hoursFrom ? {} : { hoursPerDayTo: step.hoursTo }),
  };
}

function nightFrom(history: History, wear: readonly WearSpan[]): Day | null {
  const fitted = history.braceFrom;
  if (fitted === null) return null;
  return wear.find((span) => span.phase === 'brace-night' && span.from >= fitted)?.from ?? null;
}

const shownPhase = (span: PhaseSpan): CoursePhase => ({
  phase: span.phase,
  from: isoOf(span.from),
  to: span.to === null ? null : isoOf(span.to),
});

function shownVisit(visit: Visit, watch: Watch): CourseVisit {
  return {
    kind: visit.kind,
    due: isoOf(visit.due),
    windowFrom: isoOf(visit.from),
    windowTo: isoOf(visit.to),
    status: statusOf(visit, watch),
    ...(visit.settled === 'kept' && visit.settledOn !== null ? { keptOn: isoOf(visit.settledOn) } : {}),
    ...(visit.settled === 'missed' && visit.settledOn !== null ? { missedOn: isoOf(visit.settledOn) } : {}),
    ...(visit.isExpectation ? { isExpectation: true as const } : {}),
  };
}
