import type { CourseInput } from '../model/course-events.js';
import { isoOf } from '../time/calendar-days.js';
import { braceSettings } from './brace-settings.js';
import type { Course } from './course.js';
import type { HandOver, HandOverFoot, WatchFor } from './hand-over-facts.js';
import { handOverText } from './hand-over-text.js';
import { type FootHistory, tellHistory } from './history.js';
import type { Protocol } from './protocol.js';

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
