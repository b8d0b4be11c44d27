import type { CourseChild, Foot } from '../model/course-events.js';
import type { FootHistory } from './history.js';
import type { Protocol } from './protocol.js';

/** How far outward the brace holds one foot, degrees. */
export interface BraceSetting {
  readonly foot: Foot;
  readonly isTreated: boolean;
  readonly from: number;
  readonly to: number;
  readonly source: string;
  /** Said when the foot needs other settings than usual. */
  readonly note: string | null;
}

const DESAI = 'Desai L, Oprescu F, DiMeo A, Morcuende JA. Iowa Orthop J 2010;30:15-23';

/**
 * Settings for both shoes: the treated foot as the protocol says, the other foot of a one-sided child less, and a
 * complex foot 20 to 30 degrees at first with no bend of the bar (Desai et al. 2010). Pure.
 */
export function braceSettings(
  protocol: Protocol,
  child: CourseChild,
  feet: readonly FootHistory[],
): BraceSetting[] {
  const { treated, other, source } = protocol.brace.settings;
  return (['left', 'right'] as const).map((foot) => {
    const isTreated = child.feet.includes(foot);
    const isComplex = feet.some(
      (one) => one.foot === foot && one.findings.some((found) => found.hasComplexFeatures),
    );
    if (isComplex)
      return {
        foot,
        isTreated,
        from: 20,
        to: 30,
        source: DESAI,
        note: 'complex foot: no bend of the bar until it bends up 10 to 15 degrees, later 40 to 50 degrees outward',
      };
    return { foot, isTreated, ...(isTreated ? treated : other), source, note: null };
  });
}
