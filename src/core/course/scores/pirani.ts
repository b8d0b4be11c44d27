import type { PiraniSigns } from '../../model/course-events.js';
import type { Published } from './published.js';

const DYER =
  'Dyer PJ, Davis N. The role of the Pirani scoring system. J Bone Joint Surg Br 2006;88-B(8), doi 10.1302/0301-620X.88B8.17482';
const MENON = 'Menon PG, Thokaloath RS. Hind foot score of Pirani. surgical.medresearch.in';
const SCHER = 'Scher DM et al. Predicting the need for tenotomy. J Pediatr Orthop 2004';
const RCI =
  'Prognosticating factors of relapse. J Pediatr Orthop 2018;38(10):514-520, doi 10.1097/BPO.0000000000000870';
const INFANTS = 'Predictive ability of scoring systems in infants, J Pediatr Orthop B';

/** Points of one foot, 0 (no sign) to 6; subscores only when the six signs were noted. */
export interface PiraniScore {
  readonly total: number;
  /** Posterior crease, empty heel, rigid equinus: 0 to 3. */
  readonly hindfoot: number | null;
  /** Curved lateral border, medial crease, lateral head of talus: 0 to 3. */
  readonly midfoot: number | null;
}

/** Adds up six signs, or takes a total as given. The input has been checked: signs are 0, 0.5 or 1. Source: Dyer and Davis 2006. */
export function piraniScore(given: number | PiraniSigns): PiraniScore {
  if (typeof given === 'number') return { total: given, hindfoot: null, midfoot: null };
  const hindfoot = given.posteriorCrease + given.emptyHeel + given.rigidEquinus;
  const midfoot = given.curvedLateralBorder + given.medialCrease + given.lateralHeadOfTalus;
  return { total: hindfoot + midfoot, hindfoot, midfoot };
}

/** What studies found for feet with this score before the first cast. Sources disagree, so all are given. Pure. */
export function piraniBeforeCasts(given: number | PiraniSigns): Published[] {
  const score = piraniScore(given);
  const found: Published[] = [];
  const say = (about: Published['about'], says: string, spread: string, source: string) =>
    found.push({ about, says, spread, source });
  say(
    'casts',
    score.total >= 4 ? 'likely four casts or more' : 'likely three casts or fewer',
    '70 feet; how closely score and casts go together differs between studies, from "low" to r = 0.67',
    DYER,
  );
  if (score.hindfoot !== null && score.hindfoot >= 2.5)
    say(
      'tenotomy',
      '72 % chance of a tenotomy at a hindfoot score of 2.5 or 3',
      '70 feet; a low score does not exclude it',
      DYER,
    );
  if (score.total >= 5)
    say(
      'tenotomy',
      '85.2 % (23 of 27) had a tenotomy at a first score of 5 or more',
      '72 % (36 of 50) of all feet in that study',
      SCHER,
    );
  if (typeof given !== 'number') {
    if (given.posteriorCrease + given.rigidEquinus === 2)
      say(
        'tenotomy',
        'all feet with posterior crease and rigid equinus both 1 had a tenotomy',
        '59 feet, 51 cut; a modified score',
        MENON,
      );
    else if (given.rigidEquinus === 1)
      say(
        'tenotomy',
        '98 % of feet with a rigid equinus of 1 had a tenotomy',
        '59 feet, 51 cut; a modified score',
        MENON,
      );
    else
      say(
        'tenotomy',
        'no foot with a rigid equinus below 1 had a tenotomy',
        '59 feet, 51 cut; others found that a low score does not exclude it',
        MENON,
      );
  }
  if (score.midfoot !== null && score.midfoot >= 2)
    say(
      'relapse',
      '10 of 11 feet that relapsed had a midfoot score of 2 or more at the start',
      '61 feet; says nothing about how many such feet do not relapse',
      INFANTS,
    );
  return found;
}

/**
 * First score divided by the number of casts it took (ratio of correction improvement). Feet below 1 relapsed in
 * 57.1 % (24 of 42). Null without casts.
 */
export function scorePerCast(
  firstTotal: number,
  casts: number,
): { ratio: number; published: Published | null } | null {
  if (casts < 1) return null;
  const ratio = firstTotal / casts;
  const published: Published = {
    about: 'relapse',
    says: '57.1 % (24 of 42) of feet whose first score divided by their casts was below 1 relapsed',
    spread: 'one centre, 116 children, 49 % relapsed in all',
    source: RCI,
  };
  return { ratio, published: ratio < 1 ? published : null };
}
