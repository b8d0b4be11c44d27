import type { Foot } from '../model/course-events.js';
import { isoOf } from '../time/calendar-days.js';
import type { FootHistory, FootStage } from './history.js';
import type { Protocol } from './protocol.js';
import { dimeglioBeforeCasts, dimeglioScore } from './scores/dimeglio.js';
import { piraniBeforeCasts, scorePerCast } from './scores/pirani.js';
import type { Published } from './scores/published.js';
import { presentSeries, type TrajectoryPoint, trajectory } from './trajectory.js';

/** One visit of one foot as shown: what was found, beside what the protocol expects by then. */
export interface FootVisit {
  readonly date: string;
  /** Number of the cast put on that day, if one was. */
  readonly cast: number | null;
  readonly pirani: {
    readonly total: number;
    readonly hindfoot: number | null;
    readonly midfoot: number | null;
  } | null;
  readonly dimeglio: { readonly total: number; readonly grade: string } | null;
  readonly abduction: number | null;
  /** Which angle the abduction is; null: not said, so it is not judged. */
  readonly abductionAngle: 'thigh-foot' | 'leg-foot' | null;
  readonly expectedAbduction: readonly [number, number] | null;
  readonly dorsiflexion: number | null;
}

/** Where one foot stands; feet are treated and scored separately, and one may finish first. */
export interface FootCourse {
  readonly foot: Foot;
  readonly stage: FootStage;
  /** Casts of the present series, the last one included. */
  readonly casts: number;
  readonly castOn: string | null;
  readonly tenotomy: string | null;
  readonly visits: readonly FootVisit[];
  /** What studies found for feet scored like this one before its first cast: to plan with, never a promise. */
  readonly published: readonly Published[];
}

/** One foot of a course. Pure. */
export function footCourse(protocol: Protocol, foot: FootHistory): FootCourse {
  const casts = foot.casts.filter((cast) => cast.series === foot.series);
  return {
    foot: foot.foot,
    stage: foot.stage,
    casts: casts.length,
    castOn: foot.castOn === null ? null : isoOf(foot.castOn),
    tenotomy: foot.tenotomy === null ? null : isoOf(foot.tenotomy),
    visits: trajectory(protocol, foot).map(shown),
    published: published(foot, casts.filter((cast) => !cast.isLast).length),
  };
}

function shown({ finding, score, expectedAbduction }: TrajectoryPoint): FootVisit {
  const { dimeglio } = finding;
  const graded = dimeglio === undefined ? null : dimeglioScore(dimeglio);
  return {
    date: isoOf(finding.day),
    cast: finding.cast,
    pirani: score,
    dimeglio: graded === null ? null : { total: graded.total, grade: graded.grade },
    abduction: finding.abduction ?? null,
    abductionAngle: finding.abductionAngle ?? null,
    expectedAbduction,
    dorsiflexion: finding.dorsiflexion ?? null,
  };
}

/** From the scores noted with the first cast of the first series; the score per cast once the casts are over. */
function published(foot: FootHistory, corrective: number): Published[] {
  if (foot.series !== 1) return [];
  const first = presentSeries(foot)[0];
  const isBefore =
    first !== undefined && (first.cast === null || first.cast === 1) && first.stage !== 'brace';
  if (!isBefore) return [];
  const found: Published[] = [];
  if (first.pirani !== undefined) found.push(...piraniBeforeCasts(first.pirani));
  if (first.dimeglio !== undefined) found.push(...dimeglioBeforeCasts(first.dimeglio));
  const total = first.pirani === undefined ? null : totalOf(first.pirani);
  const isOver = foot.stage === 'out' || foot.stage === 'brace' || foot.stage === 'tenotomy';
  const perCast = total === null || !isOver ? null : scorePerCast(total, corrective);
  return perCast?.published == null ? found : [...found, perCast.published];
}

const totalOf = (pirani: number | Record<string, number>): number =>
  typeof pirani === 'number' ? pirani : Object.values(pirani).reduce((sum, sign) => sum + sign, 0);
