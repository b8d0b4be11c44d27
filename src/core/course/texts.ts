import type { CourseChild } from '../model/course-events.js';
import { type CourseTextKind, REMINDERS } from '../model/texts.js';
import { addMonths, type Day, dayOf, isoOf } from '../time/calendar-days.js';
import { isoAt, readClock } from '../time/zone-offsets.js';
import type { ClinicCalendar } from './clinic-days.js';
import { addDuration, addTimes } from './duration.js';
import type { PhaseSpan } from './phases.js';
import type { Protocol, TextRule } from './protocol.js';
import type { TracedVisit } from './tracing.js';
import type { Visit } from './visits.js';
import type { Watch } from './watch.js';

export interface CourseText {
  /** ISO instant with the clinic's offset, inside sending hours. */
  readonly at: string;
  readonly kind: CourseTextKind;
  /** The date (and visit) this text belongs to: child, kind and `for` name one text for good. */
  readonly for: string;
  readonly visitKind?: Visit['kind'];
  /** ISO instant after which it must not go any more. */
  readonly expires: string;
}

/** Days that texts are counted from. */
export interface TextAnchors {
  readonly castOn: Day | null;
  readonly tenotomy: Day | null;
  /** The last cast came off, or is to come off, on this day. */
  readonly castOff: Day | null;
  readonly braceFrom: Day | null;
  readonly lastFitting: Day | null;
  readonly nightFrom: Day | null;
}

export interface TextSources {
  readonly protocol: Protocol;
  readonly calendar: ClinicCalendar;
  readonly child: CourseChild;
  readonly phases: readonly PhaseSpan[];
  readonly visits: readonly Visit[];
  readonly traced: readonly TracedVisit[];
  readonly anchors: TextAnchors;
  readonly watch: Watch;
  /** Also those whose day is over but which have not gone stale. */
  readonly withUnexpired?: boolean;
}

interface Wished {
  readonly rule: TextRule;
  readonly day: Day;
  readonly for: string;
  readonly visitKind?: Visit['kind'];
}

/**
 * The texts due from `asOf` on, in order of time. At most one question a day goes out: a second one waits for the
 * next free day, in the order of the protocol's list. Pure.
 */
export function dueTexts(sources: TextSources): CourseText[] {
  const { protocol, watch } = sources;
  const asked = new Set<Day>();
  const texts: { day: Day; minute: number; text: CourseText }[] = [];
  for (const rule of protocol.texts) {
    for (const wish of wishes(rule, sources)) {
      if (!isDuring(rule, sources.phases, wish.day)) continue;
      const day = isReminder(rule.kind) ? wish.day : freeDay(asked, wish.day, Math.max(rule.keepDays, 0));
      if (day === null) continue;
      if (!isReminder(rule.kind)) asked.add(day);
      if ((sources.withUnexpired === true ? wish.day + rule.keepDays : day) < watch.asOf) continue;
      texts.push({ day, ...timed(sources, wish, day) });
    }
  }
  texts.sort((a, b) => a.day - b.day || a.minute - b.minute || (a.text.kind < b.text.kind ? -1 : 1));
  return texts.map(({ text }) => text);
}

const isReminder = (kind: CourseTextKind): boolean => (REMINDERS as readonly string[]).includes(kind);

/** The first day from `day` on with no question yet, within the time the text keeps; null: it would be stale. */
function freeDay(asked: ReadonlySet<Day>, day: Day, keepDays: number): Day | null {
  for (let d = day; d <= day + keepDays; d++) if (!asked.has(d)) return d;
  return null;
}

function timed(
  { calendar, child }: TextSources,
  wish: Wished,
  day: Day,
): { minute: number; text: CourseText } {
  const hour = wish.rule.isHourFixed === true ? wish.rule.at : (child.textHour ?? wish.rule.at);
  const wished = readClock(hour) ?? calendar.sendingFrom;
  const last = calendar.sendingTo - 30;
  const minute = Math.min(Math.max(wished, calendar.sendingFrom), last);
  const { timeZone } = calendar;
  const stale = Math.max(wish.day + wish.rule.keepDays, day);
  return {
    minute,
    text: {
      at: isoAt(timeZone, day, minute),
      kind: wish.rule.kind,
      for: wish.for,
      ...(wish.visitKind === undefined ? {} : { visitKind: wish.visitKind }),
      expires: isoAt(timeZone, stale, Math.min(calendar.sendingTo, 1439)),
    },
  };
}

function isDuring(rule: TextRule, phases: readonly PhaseSpan[], day: Day): boolean {
  if (rule.during === undefined) return true;
  const span = phases.find((phase) => phase.from <= day && (phase.to === null || day < phase.to));
  return span !== undefined && (rule.during as readonly string[]).includes(span.phase);
}

/** The days a rule wishes for; those before `asOf` may be left out. */
function wishes(rule: TextRule, sources: TextSources): Wished[] {
  const { anchors, child } = sources;
  switch (rule.anchor) {
    case 'visit':
      return visitWishes(rule, sources);
    case 'missed-visit':
      return tracingWishes(rule, sources);
    case 'cast':
      return repeated(rule, anchors.castOn, sources);
    case 'tenotomy':
      return repeated(rule, anchors.tenotomy, sources);
    case 'cast-off':
      return repeated(rule, anchors.castOff, sources);
    case 'brace':
      return repeated(rule, anchors.braceFrom, sources);
    case 'night-start':
      return repeated(rule, anchors.nightFrom, sources);
    case 'birth':
      return repeated(rule, dayOf(child.born), sources);
    case 'fitting':
      return rule.byGrowth === true
        ? growthWishes(rule, sources)
        : repeated(rule, anchors.lastFitting, sources);
    default: {
      const never: never = rule.anchor;
      throw new Error(`no such anchor: ${String(never)}`);
    }
  }
}

function repeated(rule: TextRule, anchor: Day | null, { phases, watch }: TextSources): Wished[] {
  if (anchor === null) return [];
  const first = addDuration(anchor, rule.after);
  if (rule.every === undefined) return [{ rule, day: first, for: isoOf(first) }];
  const end = lastDayOf(rule, phases);
  const found: Wished[] = [];
  for (let n = 0; n < 1000; n++) {
    const day = addTimes(first, rule.every, n);
    if (day >= end) break;
    if (day >= watch.asOf - 20) found.push({ rule, day, for: isoOf(day) });
  }
  return found;
}

/** The first day after the last phase a repeated text belongs to; texts without an end stop with the plan. */
function lastDayOf(rule: TextRule, phases: readonly PhaseSpan[]): Day {
  let end = Number.NEGATIVE_INFINITY;
  for (const span of phases) {
    if (rule.during !== undefined && !(rule.during as readonly string[]).includes(span.phase)) continue;
    end = Math.max(end, span.to ?? addMonths(span.from, 36));
  }
  return end;
}

/** Shoes are asked about by the growth table, counted from the last fitting. */
function growthWishes(rule: TextRule, { protocol, child, anchors, phases }: TextSources): Wished[] {
  if (anchors.lastFitting === null) return [];
  const born = dayOf(child.born);
  const end = lastDayOf(rule, phases);
  const found: Wished[] = [];
  let day = anchors.lastFitting;
  for (let n = 0; n < 100; n++) {
    const at = day;
    const step = protocol.brace.resize.steps.find(({ untilAge }) => at < addDuration(born, untilAge));
    if (step === undefined) break;
    day = addDuration(day, step.every);
    if (day >= end) break;
    found.push({ rule, day, for: isoOf(day) });
  }
  return found;
}

function visitWishes(rule: TextRule, { visits, watch }: TextSources): Wished[] {
  return visits
    .filter((visit) => visit.settled === null && !visit.isExpectation && visit.due >= watch.asOf)
    .map((visit) => ({
      rule,
      day: addDuration(visit.due, rule.after),
      for: `${visit.kind} ${isoOf(visit.due)}`,
      visitKind: visit.kind,
    }));
}

function tracingWishes(rule: TextRule, { traced }: TextSources): Wished[] {
  const step = rule.kind === 'missed-visit-again' ? 1 : 0;
  return traced.map(({ visit, since, ladder }) => ({
    rule,
    day: addDuration(since + (ladder.textDays[step] ?? 1), rule.after),
    for: `${visit.kind} ${isoOf(since)}`,
    visitKind: visit.kind,
  }));
}
