import { type Day, dayOf, isoOf } from '../time/calendar-days.js';
import type { CourseAlert } from './alert.js';
import { addDuration, addTimes, sayDuration } from './duration.js';
import type { FindingRecord, FootHistory, History } from './history.js';
import type { WearSpan } from './phases.js';
import type { Protocol } from './protocol.js';
import { dimeglioScore } from './scores/dimeglio.js';
import { piraniScore } from './scores/pirani.js';
import { SCORER_NOISE } from './scores/published.js';
import { presentSeries } from './trajectory.js';
import type { Watch } from './watch.js';

const REVIEW =
  'dorsiflexion goes first; below 10 degrees: Review of Ponseti management, ojmpc.com article 119; Steps UK, relapse signs';
const RISE =
  'a rise between visits may mean relapse: Khan MA et al. Iowa Orthop J 2017;37:151-156, PMC5508266';
const ADVICE =
  'First steps as published: brace again, recast (2 to 3 casts for a forefoot relapse); to be judged by the clinician.';
const ADVICE_SOURCE = 'Desai SS, Ranade AS, Waghela AB. J Foot Ankle Surg Asia-Pacific 2021;8(3):126-131';
/** Degrees of dorsiflexion below which a braced foot is looked at again; and a loss from its best. */
const LEAST_DORSIFLEXION = 10;
const LOSS = 10;

/** Signs on one foot in brace that the deformity may be coming back. Pure. */
export function relapseAlerts(foot: FootHistory): CourseAlert[] {
  if (foot.stage !== 'brace') return [];
  const recorded = foot.relapses.filter((day) => day > (foot.castOn ?? foot.casts.at(-1)?.day ?? 0)).at(-1);
  const inBrace = presentSeries(foot).filter((finding) => finding.stage === 'brace');
  const signs = [...stiffer(inBrace), ...higherScore(inBrace)];
  if (recorded !== undefined)
    return [alert(foot, 'relapse-recorded', recorded, 'A relapse was recorded', ADVICE_SOURCE)];
  const now = inBrace.at(-1);
  if (signs.length === 0 || now === undefined) return [];
  return [
    alert(foot, 'relapse-suspected', now.day, signs.join('; '), `${REVIEW}; ${RISE}; ${SCORER_NOISE.source}`),
  ];
}

function alert(foot: FootHistory, code: string, day: Day, what: string, source: string): CourseAlert {
  return {
    code,
    reason: `${foot.foot === 'left' ? 'Left' : 'Right'} foot, ${isoOf(day)}: ${what}. ${ADVICE}`,
    source: source === ADVICE_SOURCE ? source : `${source}. Advice: ${ADVICE_SOURCE}`,
    urgency: 'soon',
    foot: foot.foot,
    since: isoOf(day),
  };
}

function stiffer(findings: readonly FindingRecord[]): string[] {
  const noted = findings.filter((finding) => finding.dorsiflexion !== undefined);
  const now = noted.at(-1)?.dorsiflexion;
  if (now === undefined) return [];
  const best = Math.max(...noted.map((finding) => finding.dorsiflexion ?? now));
  if (now < LEAST_DORSIFLEXION) return [`dorsiflexion is ${now} degrees, below ${LEAST_DORSIFLEXION}`];
  return best - now >= LOSS ? [`dorsiflexion fell from ${best} to ${now} degrees`] : [];
}

/** A rise counts when it is more than two scorers differ by, or any rise by one and the same scorer. */
function higherScore(findings: readonly FindingRecord[]): string[] {
  const signs: string[] = [];
  const compare = (name: string, score: (finding: FindingRecord) => number | null, noise: number) => {
    const scored = findings.filter((finding) => score(finding) !== null);
    const now = scored.at(-1);
    if (now === undefined) return;
    for (const before of scored.slice(0, -1)) {
      const rise = (score(now) ?? 0) - (score(before) ?? 0);
      const isOneScorer = now.scorer !== undefined && now.scorer === before.scorer;
      if (rise > (isOneScorer ? 0 : noise)) {
        signs.push(`${name} rose from ${score(before)} (${isoOf(before.day)}) to ${score(now)}`);
        return;
      }
    }
  };
  compare(
    'the Pirani score',
    (f) => (f.pirani === undefined ? null : piraniScore(f.pirani).total),
    SCORER_NOISE.pirani,
  );
  compare(
    'the Dimeglio score',
    (f) => (f.dimeglio === undefined ? null : dimeglioScore(f.dimeglio).total),
    SCORER_NOISE.dimeglio,
  );
  return signs;
}

/**
 * A brace neither fitted anew nor looked at over two half-size steps of growth for the child's age, while it is
 * still to be worn. Gould N et al. Foot Ankle 1990;10(4):211; two steps are one whole size: our reading. Pure.
 */
export function outgrownAlerts(
  protocol: Protocol,
  born: string,
  history: History,
  wear: readonly WearSpan[],
  lastKept: Day | null,
  watch: Watch,
): CourseAlert[] {
  if (history.lastFitting === null || history.marks.at(-1)?.stage !== 'brace') return [];
  const looked = Math.max(history.lastFitting, lastKept ?? history.lastFitting);
  const step = protocol.brace.resize.steps.find(
    ({ untilAge }) => looked < addDuration(dayOf(born), untilAge),
  );
  const ends = wear.at(-1)?.to ?? null;
  if (step === undefined || (ends !== null && watch.reached(ends))) return [];
  const day = addTimes(looked, step.every, 2);
  if (!watch.reached(day)) return [];
  return [
    {
      code: 'brace-maybe-outgrown',
      reason: `The brace was last fitted or looked at on ${isoOf(looked)}; at this age a foot grows half a size in about ${sayDuration(step.every)}. Check the shoes and the width of the bar.`,
      source: protocol.brace.resize.source,
      urgency: 'soon',
      since: isoOf(day),
    },
  ];
}
