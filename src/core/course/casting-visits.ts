import type { CourseChild, VisitKind } from '../model/course-events.js';
import { type Day, dayOf } from '../time/calendar-days.js';
import type { ClinicCalendar } from './clinic-days.js';
import type { Attendance } from './history.js';
import type { Protocol } from './protocol.js';
import { makeUpVisit, namedKind, openVisit, unplannedVisit, type Visit, wasSeenHere } from './visits.js';

/**
 * Visits up to the brace: each one is counted from what was really done last, since a late cast moves all that
 * follows. `open` is the one visit that stands next; null when none does.
 */
export interface CastingVisits {
  readonly settled: readonly Visit[];
  readonly open: Visit | null;
}

interface Standing {
  readonly open: Visit | null;
  readonly hasFirstVisit: boolean;
  readonly tenotomyOn: Day | null;
  readonly casts: number;
}

/** The first visit: two to six weeks after birth by default, counted from term for a child born early. */
export function firstVisit(protocol: Protocol, calendar: ClinicCalendar, child: CourseChild): Visit {
  const born = dayOf(child.born);
  const { targetDays, latestDays } = protocol.casting.start;
  const early = (child.weeksEarly ?? 0) * 7;
  const known = child.enrolled === undefined ? born : dayOf(child.enrolled);
  const target = Math.max(born + early + targetDays, known);
  return openVisit(
    calendar,
    'first-visit',
    target,
    Math.max(born, known),
    Math.max(born + early + latestDays, known + 14),
  );
}

/** Walks the days before the brace and between brace times. Pure. */
export function castingVisits(
  protocol: Protocol,
  calendar: ClinicCalendar,
  child: CourseChild,
  days: readonly Attendance[],
): CastingVisits {
  const settled: Visit[] = [];
  let standing: Standing = {
    open: firstVisit(protocol, calendar, child),
    hasFirstVisit: false,
    tenotomyOn: null,
    casts: 0,
  };
  let notBefore = dayOf(child.born);
  for (const day of days) {
    if (day.before !== 'brace' || day.after !== 'brace')
      standing = dayOfCasting(protocol, calendar, notBefore, day, standing, settled);
    notBefore = day.day + 1;
  }
  return { settled, open: standing.open };
}

function dayOfCasting(
  protocol: Protocol,
  calendar: ClinicCalendar,
  notBefore: Day,
  day: Attendance,
  standing: Standing,
  settled: Visit[],
): Standing {
  let { open, hasFirstVisit, tenotomyOn, casts } = standing;
  const { events } = day;
  const missed = events.some((e) => e.type === 'missed');
  if (missed && day.before !== 'brace') {
    const kind = namedKind(events, 'missed') ?? open?.kind ?? defaultKind(day.before, hasFirstVisit);
    if (open !== null && day.day >= open.from) {
      settled.push({ ...open, kind, settled: 'missed', settledOn: day.day });
      open = makeUpVisit(calendar, kind, day.day, protocol.tracing.makeUp.castDays);
    } else settled.push(unplannedVisit(calendar, kind, day.day, 'missed', notBefore));
  }
  const isSeen = wasSeenHere(events);
  const kind = isSeen ? attendedKind(day, hasFirstVisit) : null;
  const next = nextVisit(protocol, calendar, day, tenotomyOn, casts);
  if (kind !== null && day.before !== 'brace') {
    const changes = next !== undefined || (open !== null && open.kind === kind);
    if (open !== null && changes && day.day >= open.from)
      settled.push({ ...open, kind, settled: 'kept', settledOn: day.day });
    else settled.push(unplannedVisit(calendar, kind, day.day, 'kept', notBefore));
    if (kind === 'first-visit') hasFirstVisit = true;
    if (next === undefined && open !== null && open.kind === kind && day.day >= open.from)
      open = openVisit(
        calendar,
        afterPlainVisit(kind),
        day.day + protocol.casting.interval.days,
        day.day + 1,
        day.day + 14,
      );
  }
  if (events.some((e) => e.type === 'cast')) {
    casts = day.before === 'brace' ? 1 : casts + 1;
    hasFirstVisit = true;
  }
  if (events.some((e) => e.type === 'tenotomy')) tenotomyOn = day.day;
  if (day.before === 'brace' && day.after !== 'brace') tenotomyOn = null;
  if (next !== undefined) open = next;
  if (day.after === 'discharged') open = null;
  return { open, hasFirstVisit, tenotomyOn, casts };
}

/** What the day's events make the next visit; undefined: they change nothing. */
function nextVisit(
  protocol: Protocol,
  calendar: ClinicCalendar,
  day: Attendance,
  tenotomyOn: Day | null,
  castsBefore: number,
): Visit | null | undefined {
  const { events } = day;
  const { interval, expectedCasts } = protocol.casting;
  if (day.after === 'brace' || day.after === 'discharged') return null;
  const tenotomy = events.some((e) => e.type === 'tenotomy')
    ? day.day
    : day.before === 'brace'
      ? null
      : tenotomyOn;
  const cast = events.some((e) => e.type === 'cast');
  if (tenotomy !== null && (cast || events.some((e) => e.type === 'tenotomy')) && day.after === 'tenotomy') {
    const { stay } = protocol.lastCast;
    const from = Math.max(tenotomy + stay.days - stay.window.before, day.day + 1);
    const to = Math.max(tenotomy + stay.days + stay.window.after, from);
    return openVisit(calendar, 'cast-removal', Math.max(tenotomy + stay.days, from), from, to);
  }
  if (cast) {
    const kind: VisitKind = castsBefore + 1 === expectedCasts.plan ? 'tenotomy' : 'cast-change';
    const target = day.day + interval.days;
    return openVisit(calendar, kind, target, target - interval.window.before, target + interval.window.after);
  }
  if (events.some((e) => e.type === 'cast-removed'))
    return openVisit(calendar, 'brace-check', day.day, day.day, day.day + interval.days);
  return undefined;
}

/** What kind of visit a day with these events was. */
function attendedKind(day: Attendance, hasFirstVisit: boolean): VisitKind {
  const { events } = day;
  if (events.some((e) => e.type === 'tenotomy')) return 'tenotomy';
  if (events.some((e) => e.type === 'cast-removed')) return 'cast-removal';
  if (events.some((e) => e.type === 'cast'))
    return hasFirstVisit || day.before !== 'before' ? 'cast-change' : 'first-visit';
  if (events.some((e) => e.type === 'brace')) return 'brace-check';
  return namedKind(events, 'visit') ?? defaultKind(day.before, hasFirstVisit);
}

function defaultKind(stage: Attendance['before'], hasFirstVisit: boolean): VisitKind {
  if (stage === 'before') return hasFirstVisit ? 'cast-change' : 'first-visit';
  if (stage === 'brace') return 'brace-check';
  return stage === 'discharged' ? 'review' : 'cast-change';
}

/** A first visit without a cast leads to the first cast; any other plain visit leaves its own kind open. */
function afterPlainVisit(kind: VisitKind): VisitKind {
  return kind === 'first-visit' ? 'cast-change' : kind;
}

/** What would follow an open casting visit if every cast does its work: up to the planned number and the tenotomy. */
export function expectedCasting(
  protocol: Protocol,
  calendar: ClinicCalendar,
  open: Visit,
  castsSoFar: number,
): Visit[] {
  const { interval, expectedCasts } = protocol.casting;
  const visits: Visit[] = [];
  let last = open.due;
  let casts =
    open.kind === 'first-visit' ? 1 : open.kind === 'cast-change' ? castsSoFar + 1 : Number.POSITIVE_INFINITY;
  while (casts <= expectedCasts.plan) {
    const kind: VisitKind = casts === expectedCasts.plan ? 'tenotomy' : 'cast-change';
    const target = last + interval.days;
    const visit = openVisit(
      calendar,
      kind,
      target,
      target - interval.window.before,
      target + interval.window.after,
    );
    visits.push({ ...visit, isExpectation: true });
    last = visit.due;
    casts += 1;
  }
  return visits;
}
