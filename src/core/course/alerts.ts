import { addMonths, type Day, isoOf } from '../time/calendar-days.js';
import type { AlertUrgency, CourseAlert } from './alert.js';
import { outgrownAlerts, relapseAlerts } from './brace-alerts.js';
import { castingAlerts } from './casting-alerts.js';
import { type ClinicCalendar, nextClinicDay } from './clinic-days.js';
import type { History } from './history.js';
import type { WearSpan } from './phases.js';
import type { Protocol } from './protocol.js';
import type { TracedVisit } from './tracing.js';
import type { Visit } from './visits.js';
import type { Watch } from './watch.js';

export interface AlertSources {
  readonly protocol: Protocol;
  readonly calendar: ClinicCalendar;
  /** ISO date of birth. */
  readonly born: string;
  readonly history: History;
  readonly wear: readonly WearSpan[];
  readonly visits: readonly Visit[];
  readonly traced: readonly TracedVisit[];
  readonly watch: Watch;
}

const URGENCIES: readonly AlertUrgency[] = ['now', 'today', 'soon', 'none'];

/** Everything about dates and casts that needs a person, the most urgent first. Pure. */
export function courseAlerts(sources: AlertSources): CourseAlert[] {
  const alerts = [
    ...castAge(sources),
    ...braceNotFitted(sources),
    ...tracing(sources),
    ...dropout(sources),
    ...backAfterGap(sources),
    ...withoutClinicDay(sources),
    ...noSleepStep(sources),
    ...findings(sources),
  ];
  return alerts.sort((a, b) => URGENCIES.indexOf(a.urgency) - URGENCIES.indexOf(b.urgency));
}

/** What was found on each foot, and the brace it may have outgrown. */
function findings({ protocol, born, history, wear, visits, watch }: AlertSources): CourseAlert[] {
  if (history.marks.at(-1)?.stage === 'discharged') return [];
  return [
    ...history.feet.flatMap((foot) => [...castingAlerts(protocol, foot, watch), ...relapseAlerts(foot)]),
    ...outgrownAlerts(protocol, born, history, wear, lastSeen(visits, history), watch),
  ];
}

function castAge({ protocol, history, watch }: AlertSources): CourseAlert[] {
  const alerts: CourseAlert[] = [];
  for (const foot of history.feet) {
    if (foot.castOn === null || history.marks.at(-1)?.stage === 'discharged') continue;
    const { days, source } =
      foot.stage === 'tenotomy' ? protocol.lastCast.ageLimit : protocol.casting.castAgeLimit;
    if (!watch.reached(foot.castOn + days + 1)) continue;
    alerts.push({
      code: 'cast-too-old',
      reason: `The cast on the ${foot.foot} foot has been on since ${isoOf(foot.castOn)}, longer than ${days} days. A forgotten cast can harm the foot: reach the family and have it taken off.`,
      source,
      urgency: 'now',
      foot: foot.foot,
      since: isoOf(foot.castOn + days + 1),
    });
  }
  return alerts;
}

const BRACE_SOURCE =
  'Fast-cast modification, J Foot Ankle Res, s13047-017-0231-4: the brace goes on when the last cast comes off';

function braceNotFitted({ history }: AlertSources): CourseAlert[] {
  if (history.marks.at(-1)?.stage === 'discharged') return [];
  const waiting = history.feet.filter((foot) => foot.stage === 'out' && foot.castOff !== null);
  const other = history.feet.find((foot) => foot.castOn !== null);
  return waiting.map((foot) => {
    const since = isoOf(foot.castOff ?? 0);
    const held =
      other === undefined ? '' : ` The ${other.foot} foot is still in a cast: how is this one held?`;
    return {
      code: 'brace-not-fitted',
      reason: `The last cast of the ${foot.foot} foot came off on ${since} and no brace is recorded since. Without it the correction can be lost within days.${held}`,
      source: BRACE_SOURCE,
      urgency: 'today',
      foot: foot.foot,
      since,
    };
  });
}

function tracing({ protocol, traced, watch }: AlertSources): CourseAlert[] {
  const alerts: CourseAlert[] = [];
  for (const { visit, since, firstSince, ladder, isInCast } of traced) {
    const call = firstSince + ladder.personAfterDays;
    if (!watch.reached(call)) continue;
    const what = visit.settled === 'missed' ? 'was missed' : 'has nothing recorded';
    alerts.push({
      code: 'trace-missed-visit',
      reason: `The ${visit.kind} visit of ${isoOf(since)} ${what} and the child has not been seen since: a person should call.`,
      source: protocol.tracing.source,
      urgency: isInCast ? 'today' : 'soon',
      since: isoOf(call),
    });
  }
  return alerts;
}

/** "Lost" as a report counts it; the tracing above acts long before. */
function dropout({ protocol, history, visits, watch }: AlertSources): CourseAlert[] {
  const stage = history.marks.at(-1)?.stage ?? 'before';
  if (stage === 'before' || stage === 'discharged') return [];
  const seen = lastSeen(visits, history);
  if (seen === null) return [];
  // From the end of the planned brace years on, visits lie further apart than the limit.
  const open = visits.find((visit) => visit.settled === null && !visit.isExpectation);
  if (stage === 'brace' && open?.kind === 'review') return [];
  const day = dropoutDay(protocol, stage, seen);
  if (!watch.reached(day)) return [];
  return [
    {
      code: 'dropped-out',
      reason: `Not seen since ${isoOf(seen)}: by the reporting definition lost to follow-up on ${isoOf(day)}.`,
      source: protocol.dropout.source,
      urgency: 'soon',
      since: isoOf(day),
    },
  ];
}

/** For so long after a child came back its gap is pointed out. */
const BACK_DAYS = 28;

/** Seen again after a gap that reports count as lost: where to begin again is the clinician's to judge. */
function backAfterGap({ protocol, history, visits, watch }: AlertSources): CourseAlert[] {
  const seen = visits.flatMap((visit) =>
    visit.settled === 'kept' && visit.settledOn !== null ? [visit.settledOn] : [],
  );
  const [before, back] = seen.sort((a, b) => a - b).slice(-2);
  if (before === undefined || back === undefined || watch.reached(back + BACK_DAYS)) return [];
  const stage = history.marks.findLast((mark) => mark.day <= before)?.stage ?? 'before';
  if (stage === 'before' || stage === 'discharged') return [];
  if (dropoutDay(protocol, stage, before) >= back) return [];
  return [
    {
      code: 'back-after-gap',
      reason: `Seen again on ${isoOf(back)} after ${back - before} days: score the feet anew and judge where to begin again.`,
      source: `${protocol.dropout.source}; a gap in the brace of more than a month: Martinez AS et al. J Pediatr Orthop 2024;44(7):438-442`,
      urgency: 'soon',
      since: isoOf(back),
    },
  ];
}

/** The day on which a child not seen since `seen` counts as dropped out (reports). Pure. */
export function dropoutDay(protocol: Protocol, stage: 'cast' | 'tenotomy' | 'brace', seen: Day): Day {
  const { castingDays, tenotomyDays, braceMonths } = protocol.dropout;
  if (stage === 'cast') return seen + castingDays;
  return stage === 'tenotomy' ? seen + tenotomyDays : addMonths(seen, braceMonths);
}

function lastSeen(visits: readonly Visit[], history: History): Day | null {
  let seen: Day | null = null;
  for (const visit of visits)
    if (visit.settled === 'kept' && visit.settledOn !== null && (seen === null || visit.settledOn > seen))
      seen = visit.settledOn;
  const fitted = history.braceFrom;
  return fitted !== null && (seen === null || fitted > seen) ? fitted : seen;
}

function withoutClinicDay({ calendar, visits, watch }: AlertSources): CourseAlert[] {
  return visits
    .filter((visit) => !visit.hasClinicDay)
    .map((visit) => {
      const next = nextClinicDay(calendar, visit.due);
      const isOver = visit.settled !== null || visit.isExpectation || watch.passed(visit.due);
      return {
        code: 'no-clinic-day',
        reason: `No clinic day lies between ${isoOf(visit.from)} and ${isoOf(visit.to)} for the ${visit.kind} visit due ${isoOf(visit.due)}: ${
          next === null ? 'the clinic has no open day within a year' : `the next is ${isoOf(next)}`
        }. A person must arrange the day.`,
        source: "the clinic's own days and holidays",
        urgency: isOver ? ('none' as const) : ('soon' as const),
        since: isoOf(visit.due),
      };
    });
}

function noSleepStep({ history, protocol, wear }: AlertSources): CourseAlert[] {
  const fitted = history.braceFrom;
  if (fitted === null || wear.some((span) => span.from >= fitted && span.phase === 'brace-night')) return [];
  const last = protocol.brace.steps.at(-1);
  return [
    {
      code: 'brace-plan-ends-early',
      reason: `The brace fitted on ${isoOf(fitted)} reaches the end age of the plan before any sleep-time step: the clinician must say how long it is worn.`,
      source: last?.source ?? protocol.title,
      urgency: 'soon',
      since: isoOf(fitted),
    },
  ];
}
