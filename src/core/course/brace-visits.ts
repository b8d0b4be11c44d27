import type { CourseChild, VisitKind } from '../model/course-events.js';
import { type Day, dayOf } from '../time/calendar-days.js';
import type { ClinicCalendar } from './clinic-days.js';
import { addDuration, addTimes } from './duration.js';
import type { Attendance } from './history.js';
import type { Protocol, VisitSeries } from './protocol.js';
import { makeUpVisit, namedKind, openVisit, unplannedVisit, type Visit, wasSeenHere } from './visits.js';

interface Target {
  readonly kind: VisitKind;
  readonly day: Day;
  readonly rule: VisitSeries;
}

/**
 * The wished-for days of the series that begins with the fitting: fixed to it, so that one late visit does not move
 * the ages at which the others fall. Repeated visits count from the last of the rule before them. Pure.
 */
export function seriesTargets(protocol: Protocol, child: CourseChild, fitted: Day): Target[] {
  const born = dayOf(child.born);
  const targets: Target[] = [];
  let last = fitted;
  for (const rule of protocol.visits.series) {
    if (rule.after !== undefined) {
      last = addDuration(fitted, rule.after);
      targets.push({ kind: rule.kind, day: last, rule });
      continue;
    }
    if (rule.atAge !== undefined) {
      const day = addDuration(born, rule.atAge);
      if (day <= last + 30) continue;
      last = day;
      targets.push({ kind: rule.kind, day, rule });
    }
    if (rule.every === undefined || rule.untilAge === undefined) continue;
    const end = addDuration(born, rule.untilAge);
    const start = last;
    for (let n = 1; n <= 200; n++) {
      const day = addTimes(start, rule.every, n);
      if (day > end) break;
      targets.push({ kind: rule.kind, day, rule });
      last = day;
    }
  }
  return targets;
}

/** One stretch of brace care: first fitting, the day this clinic's care of it began, and its end (null: it runs). */
export interface BraceTime {
  readonly fitted: Day;
  readonly from: Day;
  readonly end: Day | null;
}

/** Visits of one brace time. Pure. */
export function braceVisits(
  protocol: Protocol,
  calendar: ClinicCalendar,
  child: CourseChild,
  { fitted, from, end }: BraceTime,
  days: readonly Attendance[],
): Visit[] {
  const open = seriesTargets(protocol, child, fitted)
    .filter((target) => target.day > from && (end === null || target.day < end))
    .map(({ kind, day, rule }) =>
      openVisit(calendar, kind, day, Math.max(day - rule.window.before, from + 1), day + rule.window.after),
    )
    .filter((visit) => end === null || visit.due < end);
  const settled: Visit[] = [];
  let notBefore = from + 1;
  for (const day of days) {
    if (day.day <= from || (end !== null && day.day > end)) continue;
    if (wasSeenHere(day.events)) keep(calendar, open, settled, day, notBefore);
    else if (day.events.some((event) => event.type === 'missed'))
      miss(protocol, calendar, open, settled, day, notBefore);
    notBefore = day.day + 1;
  }
  if (end === null) return [...settled, ...open];
  // What was still open when this brace time ended was not kept if its time was over; else it fell away.
  const over = open.filter((visit) => visit.to < end);
  return [...settled, ...over.map((visit): Visit => ({ ...visit, settled: 'missed', settledOn: null }))];
}

/** The open visit an attendance on `day` belongs to: the first whose window is open, else the latest begun. */
function matching(open: readonly Visit[], day: Day): number {
  let latest = -1;
  for (let i = 0; i < open.length; i++) {
    const visit = open[i];
    if (visit === undefined || visit.from > day) break;
    if (visit.to >= day) return i;
    latest = i;
  }
  return latest;
}

function keep(
  calendar: ClinicCalendar,
  open: Visit[],
  settled: Visit[],
  day: Attendance,
  notBefore: Day,
): void {
  const kind = kindHere(day, 'visit', open[0]?.kind);
  const at = matching(open, day.day);
  const visit = open[at];
  if (visit === undefined) {
    settled.push(unplannedVisit(calendar, kind, day.day, 'kept', notBefore));
    return;
  }
  // Coming now shows that what was due before was not kept; that a later visit has taken its place is enough.
  for (const older of open.splice(0, at + 1).slice(0, -1))
    settled.push({ ...older, settled: 'missed', settledOn: null });
  settled.push({ ...visit, settled: 'kept', settledOn: day.day });
}

function miss(
  protocol: Protocol,
  calendar: ClinicCalendar,
  open: Visit[],
  settled: Visit[],
  day: Attendance,
  notBefore: Day,
): void {
  const at = matching(open, day.day);
  const visit = open[at];
  const kind = kindHere(day, 'missed', visit?.kind ?? open[0]?.kind);
  if (visit === undefined) settled.push(unplannedVisit(calendar, kind, day.day, 'missed', notBefore));
  else {
    for (const older of open.splice(0, at + 1).slice(0, -1))
      settled.push({ ...older, settled: 'missed', settledOn: null });
    settled.push({ ...visit, settled: 'missed', settledOn: day.day });
  }
  const next = open[0];
  const makeUp = makeUpVisit(calendar, kind, day.day, protocol.tracing.makeUp.braceDays);
  if (next === undefined || next.from > makeUp.to) open.unshift(makeUp);
}

function kindHere(day: Attendance, type: 'visit' | 'missed', planned: VisitKind | undefined): VisitKind {
  const named = namedKind(day.events, type);
  if (named !== null) return named;
  return planned === 'review' ? 'review' : 'brace-check';
}
