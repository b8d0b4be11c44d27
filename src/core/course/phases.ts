import type { CourseChild } from '../model/course-events.js';
import { addMonths, type Day, dayOf } from '../time/calendar-days.js';
import { addDuration } from './duration.js';
import type { Mark } from './history.js';
import type { Protocol } from './protocol.js';

export const PHASES = [
  'before',
  'cast',
  'tenotomy',
  'brace-day',
  'brace-night',
  'review',
  'discharged',
] as const;
export type Phase = (typeof PHASES)[number];

/** From its first day up to, not including, `to`; null: no end is known. */
export interface PhaseSpan {
  readonly phase: Phase;
  readonly from: Day;
  readonly to: Day | null;
}

export interface WearSpan extends PhaseSpan {
  readonly hoursFrom: number;
  readonly hoursTo: number;
  readonly source: string;
}

/**
 * The wear steps of one brace time that begins on `fitted`. Steps given in months are counted from the fitting, not
 * from each other, so that month ends do not drift. A step whose end has passed before it begins is left out. Pure.
 */
export function wearSteps(protocol: Protocol, child: CourseChild, fitted: Day): WearSpan[] {
  const born = dayOf(child.born);
  const spans: WearSpan[] = [];
  let from = fitted;
  let months: number | null = 0;
  for (const step of protocol.brace.steps) {
    let to: Day;
    if (step.lasts === undefined) {
      to = step.untilAge === undefined ? from : addDuration(born, step.untilAge);
      months = null;
    } else {
      const whole: number | undefined =
        step.lasts.months ?? (step.lasts.years === undefined ? undefined : step.lasts.years * 12);
      months = months === null || whole === undefined ? null : months + whole;
      to = months === null ? addDuration(from, step.lasts) : addMonths(fitted, months);
    }
    if (to <= from) continue;
    spans.push({
      phase: step.phase,
      from,
      to,
      hoursFrom: step.hours.from,
      hoursTo: step.hours.to,
      source: step.source,
    });
    from = to;
  }
  return spans;
}

/**
 * Phases from birth on, without gap or overlap: the known past, and the future as far as it can be computed.
 * How many casts a foot will need cannot be known, so a casting phase that still runs has no end and nothing after
 * it; the last cast has a day to come off, and from there the brace plan follows.
 * @param plannedRemoval day the last cast is to come off, when that still lies ahead
 */
export function phaseSpans(
  protocol: Protocol,
  child: CourseChild,
  marks: readonly Mark[],
  plannedRemoval: Day | null,
): { phases: PhaseSpan[]; wear: WearSpan[] } {
  const phases: PhaseSpan[] = [];
  const wear: WearSpan[] = [];
  const known: Mark[] = [{ day: dayOf(child.born), stage: 'before', fitted: null }, ...marks];
  if (plannedRemoval !== null && known.at(-1)?.stage === 'tenotomy')
    known.push({ day: plannedRemoval, stage: 'brace', fitted: plannedRemoval });
  known.forEach((mark, i) => {
    const end = known[i + 1]?.day ?? null;
    if (mark.stage !== 'brace') {
      push(phases, { phase: mark.stage, from: mark.day, to: end });
      return;
    }
    let from = mark.day;
    for (const step of wearSteps(protocol, child, mark.fitted ?? mark.day)) {
      if (end !== null && step.from >= end) break;
      const to = end !== null && step.to !== null && step.to > end ? end : step.to;
      if (to !== null && to <= from) continue;
      wear.push({ ...step, from, to });
      push(phases, { phase: step.phase, from, to });
      from = to ?? from;
    }
    if (end === null || from < end) push(phases, { phase: 'review', from, to: end });
  });
  return { phases, wear };
}

/** Adds a span, joining it to the one before when the phase is the same; spans of no length are left out. */
function push(phases: PhaseSpan[], span: PhaseSpan): void {
  if (span.to === span.from) return;
  const last = phases.at(-1);
  if (last !== undefined && last.phase === span.phase) phases[phases.length - 1] = { ...last, to: span.to };
  else phases.push(span);
}
