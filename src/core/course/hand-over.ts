import type { CourseInput, Foot } from '../model/course-events.js';
import type { Sign, Urgency } from '../model/signs.js';
import { isoOf } from '../time/calendar-days.js';
import { type BraceSetting, braceSettings } from './brace-settings.js';
import type { Course, CourseVisit, WearStepSpan } from './course.js';
import { handOverText } from './hand-over-text.js';
import { type FootHistory, type FootStage, tellHistory } from './history.js';
import type { Phase } from './phases.js';
import type { Protocol } from './protocol.js';

/** What a local doctor must know when a family goes home: facts only, for a printed page, and one short text. */
export interface HandOver {
  readonly calledInTexts: string;
  readonly phase: Phase;
  readonly feet: readonly HandOverFoot[];
  /** The day the cast that is on must come off, and the last day it may; null: no cast is on. */
  readonly castOff: { readonly on: string; readonly latest: string; readonly isLastCast: boolean } | null;
  /** The brace goes on the day the last cast comes off. Null once the plan of the brace is over. */
  readonly brace: {
    readonly from: string;
    readonly settings: readonly BraceSetting[];
    readonly steps: readonly WearStepSpan[];
  } | null;
  readonly nextVisit: CourseVisit | null;
  readonly watch: readonly WatchFor[];
  readonly callNumber: string;
  readonly emergencyNumber: string;
  /** At most two parts of a text in the default alphabet; names no diagnosis. */
  readonly text: string;
  readonly review: string;
}

export interface HandOverFoot {
  readonly foot: Foot;
  readonly stage: FootStage;
  readonly casts: number;
  readonly firstCast: string | null;
  readonly lastCast: string | null;
  readonly tenotomy: string | null;
  /** The last angles noted, with the day and which angle; null: none noted. */
  readonly held: {
    readonly abduction: number | null;
    readonly abductionAngle: string | null;
    readonly dorsiflexion: number | null;
    readonly on: string;
  } | null;
}

export interface WatchFor {
  readonly sign: Sign;
  readonly urgency: Urgency;
  readonly source: string;
}

export interface HandOverWho {
  readonly calledInTexts: string;
  readonly callNumber: string;
  readonly emergencyNumber: string;
}

/** Gathers the hand-over of one child from its course. Pure; the clinic reads it before it is given away. */
export function handOver(course: Course, input: CourseInput, protocol: Protocol, who: HandOverWho): HandOver {
  const history = tellHistory(input.child, input.events);
  const feet = history.feet.map(footOf);
  const isInCast = history.feet.some((foot) => foot.castOn !== null);
  const next = course.visits.find((visit) => visit.status !== 'kept' && visit.status !== 'missed') ?? null;
  const removal = course.visits.find(
    (visit) => visit.kind === 'cast-removal' && visit.status !== 'kept' && visit.status !== 'missed',
  );
  const off = removal ?? (isInCast ? next : null);
  const steps = course.wearSteps.filter((step) => step.to === null || step.to > course.asOf);
  const first = steps[0];
  const gathered = {
    calledInTexts: who.calledInTexts,
    phase: course.phase,
    feet,
    castOff:
      off === null || !isInCast
        ? null
        : { on: off.due, latest: off.windowTo, isLastCast: removal !== undefined },
    brace:
      first === undefined
        ? null
        : { from: first.from, settings: braceSettings(protocol, input.child, history.feet), steps },
    nextVisit: next,
    watch: isInCast ? CAST_WATCH : BRACE_WATCH,
    callNumber: who.callNumber,
    emergencyNumber: who.emergencyNumber,
    review: 'draft, not yet reviewed by a clinician',
  };
  return { ...gathered, text: handOverText(gathered) };
}

function footOf(foot: FootHistory): HandOverFoot {
  const casts = foot.casts.filter((cast) => cast.series === foot.series);
  const first = casts[0];
  const last = casts.at(-1);
  const noted = foot.findings
    .filter((one) => one.abduction !== undefined || one.dorsiflexion !== undefined)
    .at(-1);
  return {
    foot: foot.foot,
    stage: foot.stage,
    casts: casts.length,
    firstCast: first === undefined ? null : isoOf(first.day),
    lastCast: last === undefined ? null : isoOf(last.day),
    tenotomy: foot.tenotomy === null ? null : isoOf(foot.tenotomy),
    held:
      noted === undefined
        ? null
        : {
            abduction: noted.abduction ?? null,
            abductionAngle: noted.abductionAngle ?? null,
            dorsiflexion: noted.dorsiflexion ?? null,
            on: isoOf(noted.day),
          },
  };
}

const TIGHT = 'Colorado foot and ankle clinic, homegoing instructions; Agashe, care of cast';
const SLIPPED =
  'Hull University Teaching Hospitals NHS, plaster leaflet HEY1475-2024; childorthspinecare.com, cast precautions';
const BOOTS = 'Gillette Children’s, sandals and bar; Columbia, boots and bar';

/** Where sources differ the stricter urgency stands. */
const CAST_WATCH: readonly WatchFor[] = [
  { sign: 'toes-discoloured', urgency: 'now', source: TIGHT },
  { sign: 'toes-cold', urgency: 'now', source: TIGHT },
  { sign: 'toes-swollen', urgency: 'now', source: TIGHT },
  { sign: 'toes-hidden', urgency: 'now', source: SLIPPED },
  { sign: 'bleeding', urgency: 'now', source: 'Atlanta, cast care 2011' },
  { sign: 'smell', urgency: 'today', source: 'Sussex, casts and slings' },
  { sign: 'cast-wet', urgency: 'today', source: 'Gillette Children’s, cast care' },
  { sign: 'cast-broken', urgency: 'today', source: 'Sussex, casts and slings' },
  { sign: 'fever', urgency: 'today', source: 'Agashe, care of cast' },
];

const BRACE_WATCH: readonly WatchFor[] = [
  { sign: 'toes-discoloured', urgency: 'now', source: 'by analogy with casts; from memory' },
  { sign: 'skin-sore', urgency: 'today', source: BOOTS },
  { sign: 'brace-not-worn', urgency: 'today', source: 'Columbia, boots and bar' },
  { sign: 'foot-slips-out', urgency: 'soon', source: BOOTS },
  { sign: 'brace-broken', urgency: 'soon', source: 'clubfootcares.org, atypical foot' },
  { sign: 'brace-small', urgency: 'soon', source: 'CHOC, foot abduction orthotics' },
  { sign: 'relapse-sign', urgency: 'soon', source: 'Steps UK, relapse signs' },
];
