/** Families tell more hours than sensors count. Shown beside told hours, never subtracted from them in silence. */

const SANGIORGIO =
  'Sangiorgio SN et al. Objective measurement of brace-use adherence. J Bone Joint Surg Am, 5 Oct 2016: 44 children, 6 months to 4 years, prescribed mean 12.6 hours';
/** Sensor hours as a share of told hours, median. */
const MEASURED_OF_TOLD = 0.77;
/** Sensor hours as a share of prescribed hours, median. */
const MEASURED_OF_PRESCRIBED = 0.62;

export interface OverReporting {
  /** What sensors would suggest for these told hours. */
  readonly likely: number;
  readonly note: string;
  readonly source: string;
}

/** What told hours may really have been: 12 told suggest about 9.2. One study's median; single families differ widely. */
export function likelyHours(told: number): OverReporting {
  const likely = told * MEASURED_OF_TOLD;
  return {
    likely,
    note: `${round(told)} hours told were about ${round(likely)} by sensor in one study (median 77 % of what parents told); a single family may differ widely.`,
    source: SANGIORGIO,
  };
}

/** Hours measured and told for a prescription, by the medians of the same study. */
export function hoursForPrescribed(prescribed: number): { measured: number; told: number; source: string } {
  const measured = prescribed * MEASURED_OF_PRESCRIBED;
  return { measured, told: measured / MEASURED_OF_TOLD, source: SANGIORGIO };
}

/**
 * A short diary is close to a sensor: over at most 7 days the mean difference was -0.55 hours (limits -2.96 to 1.96,
 * 11 children). Griffiths B et al. Sensors 2022;22(7):2433.
 */
export const SHORT_DIARY = { biasHours: -0.55, from: -2.96, to: 1.96, days: 7 } as const;

const round = (hours: number): string => String(Math.round(hours * 10) / 10);
