/** One child's time under observation, in any one unit, and whether it ended in the event. */
export interface Observed {
  readonly time: number;
  /** False: still free of the event when last known (censored). */
  readonly isEvent: boolean;
}

/** One step of the curve: it holds from this time up to the next step. */
export interface SurvivalStep {
  readonly time: number;
  readonly atRisk: number;
  readonly events: number;
  readonly survival: number;
  /** Greenwood's standard error of the survival; null where it is undefined (no one left). */
  readonly standardError: number | null;
  /** 95 % limits on the log(-log) scale, which stay between 0 and 1; null where undefined. */
  readonly low: number | null;
  readonly high: number | null;
}

/** 97.5 % point of the normal distribution. */
const Z = 1.959963984540054;

/**
 * Kaplan and Meier's estimate of the share still free of the event, a step at each event time. A child censored at
 * the time of an event counts as at risk there. Kaplan EL, Meier P. J Am Stat Assoc 1958;53:457-481; variance:
 * Greenwood M 1926; limits by log(-log): Kalbfleisch JD, Prentice RL. Pure. Times must be finite and not negative.
 */
export function kaplanMeier(observed: readonly Observed[]): SurvivalStep[] {
  const ordered = [...observed].sort((a, b) => a.time - b.time);
  const steps: SurvivalStep[] = [];
  let survival = 1;
  let variance = 0;
  for (let i = 0; i < ordered.length; ) {
    const time = ordered[i]?.time ?? 0;
    const atRisk = ordered.length - i;
    let events = 0;
    for (; ordered[i]?.time === time; i++) if (ordered[i]?.isEvent === true) events += 1;
    if (events === 0) continue;
    survival *= 1 - events / atRisk;
    variance += events / (atRisk * (atRisk - events));
    steps.push({ time, atRisk, events, survival, ...limits(survival, variance) });
  }
  return steps;
}

function limits(survival: number, variance: number): Pick<SurvivalStep, 'standardError' | 'low' | 'high'> {
  if (survival <= 0 || !Number.isFinite(variance)) return { standardError: null, low: null, high: null };
  const half = (Z * Math.sqrt(variance)) / Math.log(survival);
  return {
    standardError: survival * Math.sqrt(variance),
    low: survival ** Math.exp(-half),
    high: survival ** Math.exp(half),
  };
}

/** The first time at which half or fewer are free of the event; null: more than half still are. */
export function medianTime(steps: readonly SurvivalStep[]): number | null {
  return steps.find((step) => step.survival <= 0.5 + 1e-12)?.time ?? null;
}

/** The share free of the event at a time: that of the last step up to it; 1 before the first. */
export function survivalAt(steps: readonly SurvivalStep[], time: number): SurvivalStep | null {
  let last: SurvivalStep | null = null;
  for (const step of steps) if (step.time <= time) last = step;
  return last;
}

/** A share with Wilson's 95 % limits; null limits when nothing was counted. Wilson EB. J Am Stat Assoc 1927;22:209-212. */
export function shareOf(
  count: number,
  of: number,
): { count: number; of: number; share: number | null; low: number | null; high: number | null } {
  if (of === 0) return { count, of, share: null, low: null, high: null };
  const share = count / of;
  const z2 = Z * Z;
  const middle = (share + z2 / (2 * of)) / (1 + z2 / of);
  const half = (Z * Math.sqrt((share * (1 - share)) / of + z2 / (4 * of * of))) / (1 + z2 / of);
  return { count, of, share, low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}
