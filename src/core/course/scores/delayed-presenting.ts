import type { Published } from './published.js';

const SOURCE =
  'Delayed presenting clubfoot score. Strategies Trauma Limb Reconstr 2018, doi 10.1007/s11751-018-0324-z, PMC6249145';

/** Five angles in degrees of a child of 2 to 10 years who comes late. */
export interface DelayedAngles {
  readonly plantaris: number;
  readonly adductus: number;
  readonly varus: number;
  readonly equinus: number;
  readonly rotation: number;
}

/**
 * Score of a late-presenting foot, 0 to 30: each angle 1 point (1-20 degrees), 2 (21-45) or 3 (over 45), the sum times
 * 1 at 2-4 years, 1.5 at 5-7, 2 at 8-10. Null outside 2 to 10 years, where it was not studied.
 */
export function delayedScore(
  angles: DelayedAngles,
  ageYears: number,
): { score: number; published: Published } | null {
  const factor = factorOf(ageYears);
  if (factor === null) return null;
  const sum = Object.values(angles).reduce<number>((points, angle) => points + pointsOf(angle), 0);
  const score = sum * factor;
  return {
    score,
    published: {
      about: 'resistance',
      says: score > 18 ? 'above 18: likely to resist casting' : 'not above 18',
      spread: 'tau 0.71 between score and number of casts',
      source: SOURCE,
    },
  };
}

function pointsOf(angle: number): number {
  if (angle < 1) return 0;
  if (angle <= 20) return 1;
  return angle <= 45 ? 2 : 3;
}

function factorOf(ageYears: number): number | null {
  if (ageYears < 2 || ageYears >= 11) return null;
  if (ageYears < 5) return 1;
  return ageYears < 8 ? 1.5 : 2;
}
