import type { OpenMatter } from '../model/family.js';
import type { Sign } from '../model/signs.js';
import { ageInMonths, type Situation } from './condition.js';
import type { TriageRule } from './rules.js';

/**
 * Points that order flags of one urgency; they never change the urgency itself. The sizes are common practice, no
 * source. What they stand on:
 * youngest: more misses among the youngest in telephone triage (Kempe A et al. Pediatrics 2006;118(2):457-463);
 * far: long travel goes with families lost (Dreise M et al. Int J Environ Res Public Health 2023;20(14):6396);
 * early after a tenotomy: bleeding is a matter of the first days (Dobbs MB et al. J Pediatr Orthop
 * 2004;24(4):353-357).
 */
const POINTS = {
  youngest: 15,
  far: 10,
  earlyAfterTenotomy: 10,
  furtherSign: 5,
  furtherOpenMatter: 5,
} as const;
const YOUNG_UNDER_MONTHS = 3;
const FAR_FROM_HOURS = 2;
const EARLY_DAYS = 3;

/** 0..100: where a flag stands among those of its urgency, higher first. Pure. */
export function riskOf(
  rule: Pick<TriageRule, 'risk' | 'matter'>,
  signs: readonly Sign[],
  { child, zone, now }: Pick<Situation, 'child' | 'zone' | 'now'>,
  openMatters: readonly OpenMatter[],
): number {
  let points = rule.risk + Math.max(0, signs.length - 1) * POINTS.furtherSign;
  points += openMatters.filter(({ matter }) => matter !== rule.matter).length * POINTS.furtherOpenMatter;
  if (child) {
    if (ageInMonths(child.born, now, zone) < YOUNG_UNDER_MONTHS) points += POINTS.youngest;
    if (child.travelHours !== null && child.travelHours >= FAR_FROM_HOURS) points += POINTS.far;
    if (child.tenotomyDay !== null && child.tenotomyDay <= EARLY_DAYS) points += POINTS.earlyAfterTenotomy;
  }
  return Math.min(100, points);
}
