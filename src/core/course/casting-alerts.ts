import { isoOf } from '../time/calendar-days.js';
import type { CourseAlert } from './alert.js';
import type { FindingRecord, FootHistory } from './history.js';
import type { Protocol } from './protocol.js';
import { piraniScore } from './scores/pirani.js';
import { presentSeries, reachesAim, tenotomyReadiness } from './trajectory.js';
import type { Watch } from './watch.js';

/** What the findings of a foot in casts ask a clinician to judge. Wording always leaves the decision to the clinic. */

const LAMPASI = 'Lampasi M et al. J Orthop Surg 2017;25(2):1-8, doi 10.1177/2309499017713916';
const QUINLAN =
  'groups of feet are told apart by cast 4: Quinlan R et al. J Pediatr Orthop 2023(5):326-331; the rule itself: common practice, no source';
/** A foot ready for tenotomy for longer than this without one: common practice, no source. */
const READY_LIMIT_DAYS = 14;
/** Least gain over two casts that counts as progress, degrees: half of one cast's published 10-15. */
const LEAST_GAIN = 5;

type Say = (
  code: string,
  day: number,
  urgency: CourseAlert['urgency'],
  reason: string,
  source: string,
) => void;

/** Alerts on one foot while it is being corrected. Pure. */
export function castingAlerts(protocol: Protocol, foot: FootHistory, watch: Watch): CourseAlert[] {
  const alerts: CourseAlert[] = [];
  const say: Say = (code, day, urgency, reason, source) =>
    alerts.push({ code, reason, source, urgency, foot: foot.foot, since: isoOf(day) });
  const findings = presentSeries(foot);
  for (const finding of findings)
    if (finding.abduction !== undefined && finding.abductionAngle === undefined) {
      missingAngle(foot, finding, say);
      break;
    }
  if (foot.stage !== 'cast') return alerts;
  slips(foot, say);
  castCount(protocol, foot, say);
  noProgress(protocol, foot, findings, say);
  cavus(foot, findings, say);
  complexFeatures(foot, findings, say);
  readiness(protocol, foot, findings, watch, say);
  return alerts;
}

function missingAngle(foot: FootHistory, finding: FindingRecord, say: Say): void {
  say(
    'abduction-angle-missing',
    finding.day,
    'none',
    `The abduction of ${finding.abduction} degrees of the ${foot.foot} foot on ${isoOf(finding.day)} does not say whether it is the thigh-foot or the leg-foot angle; they read about 20 degrees apart, so it is not judged.`,
    'What exactly is "foot abduction"? Int Orthop 2023, doi 10.1007/s00264-023-05703-2',
  );
}

function slips(foot: FootHistory, say: Say): void {
  const begun = foot.casts.find((cast) => cast.series === foot.series)?.day ?? 0;
  const slipped = foot.slips.filter((day) => day >= begun).sort((a, b) => a - b);
  const last = slipped.at(-1);
  if (last === undefined) return;
  // Noted at the change of a cast it was the old one that slipped; a slip told on that day may be of the new one.
  const isOfOldCast = foot.findings.some((found) => found.day === last && found.hasSlipped === true);
  const isChanged = foot.castOn !== null && (foot.castOn > last || (foot.castOn === last && isOfOldCast));
  if (slipped.length === 1)
    say(
      'cast-slipped',
      last,
      isChanged ? 'soon' : 'now',
      `A cast of the ${foot.foot} foot slipped on ${isoOf(last)}: correction is not held, and slipping between casts 2 and 4 can push the foot into a complex deformity.`,
      'any slip is a flag: clubfootcares.org, atypical foot; casts 2 to 4: Physiopedia, Africa Clubfoot Training manual, atypical foot',
    );
  else
    say(
      'cast-slipped-again',
      last,
      isChanged ? 'today' : 'now',
      `Casts of the ${foot.foot} foot slipped ${slipped.length} times in this course, last on ${isoOf(last)}: have a senior look for a complex foot.`,
      'second slip, senior review: from memory; slips in complex feet: Cast slippage in complex clubfoot, Indian J Orthop 2023, s43465-023-00910-w',
    );
}

function castCount(protocol: Protocol, foot: FootHistory, say: Say): void {
  const casts = foot.casts.filter((cast) => cast.series === foot.series && !cast.isLast);
  const { expectedCasts, askWhyFrom } = protocol.casting;
  const last = casts.at(-1);
  if (last === undefined || casts.length <= expectedCasts.usualTo) return;
  if (casts.length >= askWhyFrom.casts)
    say(
      'casts-ask-senior',
      last.day,
      'soon',
      `The ${foot.foot} foot has had ${casts.length} casts: ask a senior why. Feet that do badly are also examined again for another cause.`,
      askWhyFrom.source,
    );
  else
    say(
      'more-casts-than-usual',
      last.day,
      'soon',
      `The ${foot.foot} foot has had ${casts.length} casts; ${expectedCasts.usualFrom} to ${expectedCasts.usualTo} are usual.`,
      expectedCasts.source,
    );
}

/** Over two casts: the midfoot (or a high total) has not come down, or abduction has not gone up. */
function noProgress(
  protocol: Protocol,
  foot: FootHistory,
  findings: readonly FindingRecord[],
  say: Say,
): void {
  const atCasts = findings.filter((finding) => finding.cast !== null);
  const scored = atCasts.filter((finding) => finding.pirani !== undefined);
  const [before, , now] = scored.slice(-3);
  if (before?.pirani !== undefined && now?.pirani !== undefined && scored.length >= 3) {
    const a = piraniScore(before.pirani);
    const b = piraniScore(now.pirani);
    // The hindfoot hardly changes until the tenotomy (Lampasi 2017), so only the midfoot, or what a total above the
    // hindfoot's three points must hold of it, is asked to come down.
    const isStill =
      a.midfoot !== null && b.midfoot !== null
        ? b.midfoot >= 1 && b.midfoot >= a.midfoot
        : b.total > 3 && b.total >= a.total;
    if (isStill) {
      const scorers = before.scorer !== now.scorer ? ' Two scorers: up to one point may be noise.' : '';
      say(
        'no-progress',
        now.day,
        'soon',
        `The score of the ${foot.foot} foot has not come down over two casts (${a.total} on ${isoOf(before.day)}, ${b.total} on ${isoOf(now.day)}).${scorers}`,
        QUINLAN,
      );
      return;
    }
  }
  const turned = atCasts.filter((one) => one.abduction !== undefined && one.abductionAngle !== undefined);
  const [from, , to] = turned.slice(-3);
  if (
    from?.abduction === undefined ||
    to?.abduction === undefined ||
    from.abductionAngle !== to.abductionAngle
  )
    return;
  if (turned.length < 3 || reachesAim(protocol, to) !== false || to.abduction - from.abduction >= LEAST_GAIN)
    return;
  say(
    'no-progress',
    to.day,
    'soon',
    `Abduction of the ${foot.foot} foot gained ${to.abduction - from.abduction} degrees over two casts (${from.abduction} to ${to.abduction}, ${to.abductionAngle}); 10 to 15 a cast is usual.`,
    protocol.casting.abductionPerCast.source,
  );
}

/** Abduction goes on although the arch is still high. */
function cavus(foot: FootHistory, findings: readonly FindingRecord[], say: Say): void {
  const now = findings.at(-1);
  const first = findings.find(
    (one) => one.abduction !== undefined && one.abductionAngle === now?.abductionAngle,
  );
  if (now?.isCavusCorrected !== false || (now.cast ?? 0) < 2) return;
  if (first?.abduction === undefined || now.abduction === undefined || now.abduction - first.abduction < 10)
    return;
  say(
    'cavus-not-corrected',
    now.day,
    'today',
    `The ${foot.foot} foot is being abducted (${first.abduction} to ${now.abduction} degrees) while its cavus is noted as not corrected.`,
    'the first cast does most for cavus: Dynamic process of Ponseti management, 115 feet, sygkzz.com abstract 923; the order: common practice',
  );
}

function complexFeatures(foot: FootHistory, findings: readonly FindingRecord[], say: Say): void {
  const seen = findings.filter((finding) => finding.hasComplexFeatures === true).at(-1);
  if (seen === undefined) return;
  say(
    'complex-foot',
    seen.day,
    'soon',
    `Features of a complex foot were noted on the ${foot.foot} foot on ${isoOf(seen.day)}: it is cast differently (knee at more than 90 degrees, less abduction); ask a senior.`,
    'Physiopedia, Africa Clubfoot Training manual, atypical foot; POSNA study guide, atypical club foot: 6.5 % of idiopathic feet. The handling: from memory',
  );
}

function readiness(
  protocol: Protocol,
  foot: FootHistory,
  findings: readonly FindingRecord[],
  watch: Watch,
  say: Say,
): void {
  const ready = findings.filter((finding) => isReady(protocol, finding));
  const first = ready[0];
  const now = ready.at(-1);
  if (first === undefined || now === undefined || now !== findings.at(-1)) return;
  const { byAngle, byScore } = tenotomyReadiness(protocol, now);
  const rules = `${said(byAngle, 'angle')}, ${said(byScore, 'score')}`;
  const disagree = byAngle !== null && byScore !== null && byAngle !== byScore;
  const source = `${protocol.casting.tenotomyBelowDorsiflexion.source}; ${LAMPASI}`;
  if (watch.reached(first.day + READY_LIMIT_DAYS))
    say(
      'tenotomy-overdue',
      first.day + READY_LIMIT_DAYS,
      'soon',
      `The ${foot.foot} foot has looked ready for a tenotomy since ${isoOf(first.day)} (${rules}) and none is recorded.`,
      `${source}; the limit of ${READY_LIMIT_DAYS} days: common practice, no source`,
    );
  else
    say(
      'ready-for-tenotomy',
      first.day,
      'soon',
      `The ${foot.foot} foot looks ready for a tenotomy (${rules})${disagree ? '; the two rules disagree in about one foot in ten' : ''}: to be judged by the clinician.`,
      source,
    );
}

function isReady(protocol: Protocol, finding: FindingRecord): boolean {
  const { byAngle, byScore } = tenotomyReadiness(protocol, finding);
  return byAngle === true || byScore === true;
}

const said = (rule: boolean | null, by: string): string =>
  rule === null ? `by ${by}: not noted` : `by ${by}: ${rule ? 'yes' : 'no'}`;
