import type { FindingRecord, FootHistory } from './history.js';
import type { Protocol } from './protocol.js';
import { type PiraniScore, piraniScore } from './scores/pirani.js';

export const ANGLE_SOURCE =
  'What exactly is "foot abduction"? Int Orthop 2023, doi 10.1007/s00264-023-05703-2';
/**
 * Thigh-foot minus leg-foot angle of the same feet before the tenotomy (56 against 42.6), degrees. Used only to
 * compare a leg-foot reading with an aim given as thigh-foot, or the other way.
 */
const ANGLE_DIFFERENCE = 13.4;

/** One visit of one foot on its way: what was found, beside what the protocol expects by then. */
export interface TrajectoryPoint {
  readonly finding: FindingRecord;
  readonly score: PiraniScore | null;
  /** Expected abduction in the protocol's angle, when a first reading by that angle is known. */
  readonly expectedAbduction: readonly [number, number] | null;
}

/** The findings of a foot's present series, oldest first. */
export function presentSeries(foot: FootHistory): FindingRecord[] {
  return foot.findings.filter((finding) => finding.series === foot.series);
}

/**
 * A foot's path over its casts against the expected one: 10 to 15 degrees a cast from the first reading on, up to the
 * aim (clubfootponseti.com, treatment phase). Readings without their angle are shown but not compared. Pure.
 */
export function trajectory(protocol: Protocol, foot: FootHistory): TrajectoryPoint[] {
  const { abductionPerCast, abductionAim } = protocol.casting;
  const findings = presentSeries(foot);
  const first = findings.find(
    (one) => one.abduction !== undefined && one.abductionAngle === abductionAim.angle,
  );
  return findings.map((finding) => ({
    finding,
    score: finding.pirani === undefined ? null : piraniScore(finding.pirani),
    expectedAbduction: expected(finding, first),
  }));

  function expected(
    finding: FindingRecord,
    from: FindingRecord | undefined,
  ): readonly [number, number] | null {
    if (from?.abduction === undefined || from.cast === null || finding.cast === null) return null;
    const casts = finding.cast - from.cast;
    const { degrees } = abductionPerCast;
    const upTo = (perCast: number) =>
      Math.min((from.abduction ?? 0) + casts * perCast, abductionAim.degrees.to);
    return casts < 0 ? null : [upTo(degrees.from), upTo(degrees.to)];
  }
}

/**
 * Whether an abduction has reached the protocol's aim; null: it cannot be told because its angle is not. A reading
 * with no angle that reaches the thigh-foot aim has reached it by either angle, since leg-foot reads lower.
 */
export function reachesAim(protocol: Protocol, finding: FindingRecord): boolean | null {
  const { abduction, abductionAngle } = finding;
  const { degrees, angle } = protocol.casting.abductionAim;
  if (abduction === undefined) return null;
  if (abductionAngle === undefined) return angle === 'thigh-foot' && abduction >= degrees.from ? true : null;
  if (abductionAngle === angle) return abduction >= degrees.from;
  const asked = angle === 'thigh-foot' ? degrees.from - ANGLE_DIFFERENCE : degrees.from + ANGLE_DIFFERENCE;
  return abduction >= asked;
}

export interface Readiness {
  readonly byAngle: boolean | null;
  readonly byScore: boolean | null;
}

/**
 * Two published rules for a tenotomy. By angle: dorsiflexion below the protocol's limit at full abduction. By score:
 * hindfoot score above 1 with the head of the talus covered. They disagreed in 8 of 79 feet (10.1 %): Lampasi M et
 * al. J Orthop Surg 2017;25(2):1-8, doi 10.1177/2309499017713916. Null: not enough was noted.
 */
export function tenotomyReadiness(protocol: Protocol, finding: FindingRecord): Readiness {
  const isAbducted = reachesAim(protocol, finding);
  const { dorsiflexion, pirani } = finding;
  const isStiff =
    dorsiflexion === undefined ? null : dorsiflexion < protocol.casting.tenotomyBelowDorsiflexion.degrees;
  const byAngle = isAbducted === null || isStiff === null ? null : isAbducted && isStiff;
  if (pirani === undefined || typeof pirani === 'number') return { byAngle, byScore: null };
  const { hindfoot } = piraniScore(pirani);
  return { byAngle, byScore: (hindfoot ?? 0) > 1 && pirani.lateralHeadOfTalus === 0 };
}
