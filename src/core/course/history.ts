import type { CourseChild, CourseEvent, Foot, FootFindings } from '../model/course-events.js';
import { type Day, dayOf } from '../time/calendar-days.js';

/** What happened, foot by foot, told from a checked list of events. */

/** `out`: the last cast is off and no brace is on yet. */
export type FootStage = 'before' | 'cast' | 'tenotomy' | 'out' | 'brace';

export interface CastRecord {
  readonly day: Day;
  readonly number: number;
  /** 1 for the first treatment, 2 for the first recasting after a relapse, ... */
  readonly series: number;
  /** Whether it went on with or after the tenotomy of its series. */
  readonly isLast: boolean;
}

export interface FindingRecord extends FootFindings {
  readonly day: Day;
  readonly series: number;
  readonly stage: FootStage;
  /** Number of the cast put on that day, if one was. */
  readonly cast: number | null;
}

export interface FootHistory {
  readonly foot: Foot;
  stage: FootStage;
  series: number;
  castOn: Day | null;
  castOff: Day | null;
  tenotomy: Day | null;
  readonly casts: CastRecord[];
  readonly findings: FindingRecord[];
  readonly slips: Day[];
  readonly relapses: Day[];
}

export type ChildStage = 'before' | 'cast' | 'tenotomy' | 'brace' | 'discharged';

export interface Mark {
  readonly day: Day;
  readonly stage: ChildStage;
  /** With `brace`: the day the brace of this brace time was first fitted (earlier than `day` after a readmission). */
  readonly fitted: Day | null;
}

/** One day on which the child was seen here, or was expected and did not come. */
export interface Attendance {
  readonly day: Day;
  readonly events: readonly CourseEvent[];
  /** The child's stage before and after this day. */
  readonly before: ChildStage;
  readonly after: ChildStage;
}

export interface History {
  readonly feet: readonly FootHistory[];
  readonly marks: readonly Mark[];
  readonly days: readonly Attendance[];
  /** First fitting of the present brace time, and the last fitting; null when not in brace. */
  readonly braceFrom: Day | null;
  readonly lastFitting: Day | null;
}

const ORDER: Readonly<Record<CourseEvent['type'], number>> = {
  readmitted: 0,
  'transferred-in': 1,
  relapse: 2,
  slipped: 3,
  'cast-removed': 4,
  tenotomy: 5,
  cast: 6,
  brace: 7,
  visit: 8,
  missed: 9,
  'transferred-out': 10,
  discharged: 11,
};

/** Events by day and, within a day, in the order in which care is given. `index` is the place in the list as given. */
export function inOrder(events: readonly CourseEvent[]): { event: CourseEvent; day: Day; index: number }[] {
  return events
    .map((event, index) => ({ event, day: dayOf(event.date), index }))
    .sort((a, b) => a.day - b.day || ORDER[a.event.type] - ORDER[b.event.type] || a.index - b.index);
}

/** The feet a cast event or a visit names, or all treated feet when it names none. */
export function feetOf(event: CourseEvent, treated: readonly Foot[]): readonly Foot[] {
  if (!('feet' in event) || event.feet === undefined) return treated;
  const { feet } = event;
  if (Array.isArray(feet)) return feet;
  const named = treated.filter((foot) => (feet as Partial<Record<Foot, unknown>>)[foot] !== undefined);
  return named.length === 0 ? treated : named;
}

/** Tells the history of a child from checked events (see `readCourseInput`). Pure. */
export function tellHistory(child: CourseChild, events: readonly CourseEvent[]): History {
  const feet = child.feet.map((foot) => newFoot(foot));
  const marks: Mark[] = [];
  const days: Attendance[] = [];
  let stage: ChildStage = 'before';
  let lastCare: ChildStage = 'before';
  let braceFrom: Day | null = null;
  let lastFitting: Day | null = null;
  const ordered = inOrder(events);
  for (let i = 0; i < ordered.length; ) {
    const day = ordered[i]?.day ?? 0;
    const today: CourseEvent[] = [];
    for (; ordered[i]?.day === day; i++) today.push((ordered[i] as { event: CourseEvent }).event);
    for (const event of today) happen(feet, child, event, day, today);
    const left = today.some((e) => e.type === 'discharged' || e.type === 'transferred-out');
    const back = today.some((e) => e.type === 'readmitted');
    const before: ChildStage = stage;
    const care: ChildStage = childStage(feet, lastCare);
    stage = left ? 'discharged' : stage === 'discharged' && !back ? 'discharged' : care;
    if (care === 'brace' && lastCare !== 'brace') braceFrom = day;
    if (care !== 'brace') braceFrom = null;
    lastCare = care;
    if (today.some((e) => e.type === 'brace')) lastFitting = day;
    if (stage !== before) marks.push({ day, stage, fitted: stage === 'brace' ? braceFrom : null });
    days.push({ day, events: today, before, after: stage });
  }
  return {
    feet,
    marks,
    days,
    braceFrom,
    lastFitting: braceFrom === null ? null : lastFitting,
  };
}

function newFoot(foot: Foot): FootHistory {
  return {
    foot,
    stage: 'before',
    series: 0,
    castOn: null,
    castOff: null,
    tenotomy: null,
    casts: [],
    findings: [],
    slips: [],
    relapses: [],
  };
}

/** The least advanced foot that is under treatment leads; a foot waiting for its brace keeps the phase it was in. */
function childStage(feet: readonly FootHistory[], last: ChildStage): ChildStage {
  const has = (stage: FootStage) => feet.some((foot) => foot.stage === stage);
  if (has('cast')) return 'cast';
  if (has('tenotomy')) return 'tenotomy';
  if (has('out')) return last === 'brace' || last === 'before' ? 'tenotomy' : last;
  return has('brace') ? 'brace' : 'before';
}

function happen(
  feet: readonly FootHistory[],
  child: CourseChild,
  event: CourseEvent,
  day: Day,
  today: readonly CourseEvent[],
): void {
  const named = (history: FootHistory) => feetOf(event, child.feet).includes(history.foot);
  switch (event.type) {
    case 'cast':
      for (const foot of feet.filter(named)) putOnCast(foot, event, day);
      break;
    case 'tenotomy': {
      const lastCasts = today.filter((e) => e.type === 'cast').flatMap((e) => feetOf(e, child.feet));
      for (const foot of feet)
        if (event.feet === undefined ? lastCasts.includes(foot.foot) : event.feet.includes(foot.foot)) {
          foot.tenotomy = day;
          foot.stage = 'tenotomy';
        }
      break;
    }
    case 'cast-removed':
      for (const foot of feet.filter((f) => named(f) && f.castOn !== null)) {
        foot.castOn = null;
        foot.castOff = day;
        foot.stage = 'out';
      }
      break;
    case 'brace':
      for (const foot of feet.filter((f) => named(f) && f.castOn === null)) foot.stage = 'brace';
      break;
    case 'visit':
      for (const foot of feet.filter(named)) note(foot, event.feet?.[foot.foot], day, null);
      break;
    case 'slipped':
      for (const foot of feet.filter(named)) foot.slips.push(day);
      break;
    case 'relapse':
      for (const foot of feet.filter(named)) foot.relapses.push(day);
      break;
    default:
      break;
  }
}

function putOnCast(foot: FootHistory, event: Extract<CourseEvent, { type: 'cast' }>, day: Day): void {
  if (foot.stage === 'before' || foot.stage === 'brace') {
    foot.series += 1;
    foot.tenotomy = null;
  }
  foot.stage = foot.tenotomy === null ? 'cast' : 'tenotomy';
  foot.castOn = day;
  foot.casts.push({ day, number: event.number, series: foot.series, isLast: foot.tenotomy !== null });
  if (event.feet?.[foot.foot]?.hasSlipped === true) foot.slips.push(day);
  note(foot, event.feet?.[foot.foot], day, event.number);
}

function note(foot: FootHistory, found: FootFindings | undefined, day: Day, cast: number | null): void {
  if (found === undefined) return;
  foot.findings.push({ ...found, day, series: foot.series, stage: foot.stage, cast });
}
