/** What a study found for feet scored like this one. Never a promise for one foot: every finding carries its spread. */
export interface Published {
  /** `casts`: how many to expect. `tenotomy`: how likely. `relapse`: how often later. */
  readonly about: 'casts' | 'tenotomy' | 'relapse' | 'resistance';
  readonly says: string;
  /** Size of the study, range, standard deviation, or what other studies found instead. */
  readonly spread: string;
  readonly source: string;
}

/** One foot's score can differ between two scorers by this much with no change in the foot. */
export const SCORER_NOISE = {
  pirani: 1,
  dimeglio: 2,
  source:
    'derived: scorers within 1 Pirani point in 89 %, within 2 Dimeglio points in 91 % (independent assessment of two classification systems, 55 feet); mean differences 0.65 and 1.11 (Cosma D, Vasilescu DE. J Foot Ankle Surg 2015;54:582-585)',
} as const;
