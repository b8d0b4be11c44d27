import type { CourseEvent, VisitKind } from '../model/course-events.js';
import type { Day } from '../time/calendar-days.js';
import { type ClinicCalendar, nearestClinicDay, nextClinicDay } from './clinic-days.js';
import type { Watch } from './watch.js';

export type VisitStatus = 'kept' | 'missed' | 'overdue' | 'due' | 'planned';

/** One visit of the course while it is being worked out. `settled` null: it still lies open. */
export interface Visit {
  readonly kind: VisitKind;
  readonly due: Day;
  readonly from: Day;
  readonly to: Day;
  readonly hasClinicDay: boolean;
  readonly settled: 'kept' | 'missed' | null;
  /** The day the child came, or was missed. */
  readonly settledOn: Day | null;
  /** True for what follows only if all before it goes as expected. */
  readonly isExpectation: boolean;
}

/** A visit wished for on `target` inside a window, put on a clinic day. */
export function openVisit(calendar: ClinicCalendar, kind: VisitKind, target: Day, from: Day, to: Day): Visit {
  const slot = nearestClinicDay(calendar, target, from, to);
  return {
    kind,
    due: slot.due,
    from,
    to,
    hasClinicDay: slot.hasClinicDay,
    settled: null,
    settledOn: null,
    isExpectation: false,
  };
}

/** The visit that makes up for one missed on `missed`: the first clinic day after it, within `days`. */
export function makeUpVisit(calendar: ClinicCalendar, kind: VisitKind, missed: Day, days: number): Visit {
  const next = nextClinicDay(calendar, missed + 1);
  const target = next !== null && next <= missed + days ? next : missed + 1;
  return openVisit(calendar, kind, target, missed + 1, missed + days);
}

/** Days a visit nobody had planned may be counted back to reach a clinic day. */
const BACK_DAYS = 6;

/**
 * A visit nobody had planned: it counts as due on its own day, or the last clinic day in the week before it, else on
 * the next one in the week after.
 */
export function unplannedVisit(
  calendar: ClinicCalendar,
  kind: VisitKind,
  day: Day,
  settled: 'kept' | 'missed',
  notBefore: Day,
): Visit {
  const from = Math.min(Math.max(notBefore, day - BACK_DAYS), day);
  const visit = openVisit(calendar, kind, day, from, day);
  const found = visit.hasClinicDay ? visit : openVisit(calendar, kind, day, from, day + BACK_DAYS);
  return { ...found, settled, settledOn: day };
}

/**
 * One visit of a kind a day. Open visits keep their days; a settled one that falls on a day already taken moves to
 * the nearest free clinic day in its window, else to the day on which it was kept or missed.
 */
export function withoutDoubles(calendar: ClinicCalendar, visits: readonly Visit[]): Visit[] {
  const taken = new Set<string>();
  const settledLast = [
    ...visits.filter((visit) => visit.settled === null),
    ...visits.filter((visit) => visit.settled !== null),
  ];
  return settledLast.map((visit) => {
    const isFree = (day: Day) => !taken.has(`${visit.kind} ${day}`);
    const single = isFree(visit.due) ? visit : moved(calendar, visit, isFree);
    taken.add(`${visit.kind} ${single.due}`);
    return single;
  });
}

function moved(calendar: ClinicCalendar, visit: Visit, isFree: (day: Day) => boolean): Visit {
  for (let away = 1; away <= visit.to - visit.from; away++)
    for (const due of [visit.due - away, visit.due + away])
      if (due >= visit.from && due <= visit.to && calendar.isOpen(due) && isFree(due))
        return { ...visit, due };
  const due = visit.settledOn;
  if (due === null || !isFree(due)) return visit;
  const from = Math.min(visit.from, due);
  return { ...visit, due, from, to: Math.max(visit.to, due), hasClinicDay: calendar.isOpen(due) };
}

/** `overdue` only once the whole window has passed; `due` while it is open; `planned` before. */
export function statusOf(visit: Visit, watch: Watch): VisitStatus {
  if (visit.settled !== null) return visit.settled;
  if (watch.passed(visit.to)) return 'overdue';
  return watch.reached(visit.from) ? 'due' : 'planned';
}

/** What an event says about visits: the kind named by the family's record, if any. */
export function namedKind(events: readonly CourseEvent[], type: 'visit' | 'missed'): VisitKind | null {
  for (const event of events) if (event.type === type && event.kind !== undefined) return event.kind;
  return null;
}

/** Whether the child was seen by this clinic on a day with these events. */
export function wasSeenHere(events: readonly CourseEvent[]): boolean {
  return events.some(
    (event) =>
      (event.type === 'cast' ||
        event.type === 'tenotomy' ||
        event.type === 'cast-removed' ||
        event.type === 'brace' ||
        event.type === 'visit') &&
      (event.where === undefined || event.where === 'here'),
  );
}
