import type { CourseInput } from '../../model/course-events.js';
import { type Day, dayOf } from '../../time/calendar-days.js';
import { dropoutDay } from '../alerts.js';
import { type ChildStage, type History, tellHistory } from '../history.js';
import { wearSteps } from '../phases.js';
import type { Protocol } from '../protocol.js';
import { wasSeenHere } from '../visits.js';

/** How long a child was followed up from the beginning of treatment here, and whether it was lost. */
export interface FollowUp {
  readonly from: Day;
  /** Day of the loss, or the last day it is known to be in care. */
  readonly to: Day;
  readonly isDropout: boolean;
  /** The stage it was lost in. */
  readonly stage: 'cast' | 'tenotomy' | 'brace' | null;
}

/**
 * Time to the first dropout by the computable definition: no visit within 3 weeks in casting, 4 weeks after the
 * tenotomy, 6 months in the brace (Pinto D et al. J Foot Ankle Surg 2022;61(4):730-734; the protocol's numbers). Ends
 * without loss at discharge, transfer, the end of the brace years, or `asOf`. Null: treatment has not begun. Pure.
 */
export function followUp(input: CourseInput, protocol: Protocol): FollowUp | null {
  const history = tellHistory(input.child, input.events);
  const begun = history.marks.find((mark) => mark.stage !== 'before');
  if (begun === undefined || begun.stage === 'discharged') return null;
  const end = lastDayInCare(input, protocol, history);
  let seen = begun.day;
  for (const day of history.days) {
    if (day.day <= begun.day) continue;
    if (day.day > end.day) break;
    const lost = lossAfter(protocol, stageAfter(history, seen), seen, day.day);
    if (lost !== null) return { from: begun.day, to: lost.day, isDropout: true, stage: lost.stage };
    if (wasSeenHere(day.events) || day.before !== day.after) seen = day.day;
  }
  const lost = lossAfter(protocol, stageAfter(history, seen), seen, end.isOpen ? end.day + 1 : end.day);
  if (lost !== null) return { from: begun.day, to: lost.day, isDropout: true, stage: lost.stage };
  return { from: begun.day, to: end.day, isDropout: false, stage: null };
}

/** Lost if the limit passes before `next`, the next sign of life. */
function lossAfter(protocol: Protocol, stage: ChildStage, seen: Day, next: Day) {
  if (stage !== 'cast' && stage !== 'tenotomy' && stage !== 'brace') return null;
  const day = dropoutDay(protocol, stage, seen);
  return day < next ? { day, stage } : null;
}

function stageAfter(history: History, day: Day): ChildStage {
  let stage: ChildStage = 'before';
  for (const mark of history.marks) if (mark.day <= day) stage = mark.stage;
  return stage;
}

function lastDayInCare(
  input: CourseInput,
  protocol: Protocol,
  history: History,
): { day: Day; isOpen: boolean } {
  const asOf = dayOf(input.asOf);
  const left = history.marks.find((mark) => mark.stage === 'discharged');
  const braced = history.marks.findLast((mark) => mark.stage === 'brace');
  const worn =
    braced === undefined ? undefined : wearSteps(protocol, input.child, braced.fitted ?? braced.day).at(-1);
  const isLast = braced !== undefined && history.marks.at(-1) === braced;
  const over = isLast && worn?.to != null ? worn.to : Number.POSITIVE_INFINITY;
  const day = Math.min(asOf, left?.day ?? Number.POSITIVE_INFINITY, over);
  return { day, isOpen: day === asOf };
}
