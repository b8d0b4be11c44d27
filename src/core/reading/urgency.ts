import { higherUrgency, type Intent, type ReadingPhase, type Sign, type Urgency } from '../model/signs.js';
import type { UrgencyRuleData } from './data.js';

export interface Weighed {
  readonly signs: ReadonlySet<Sign>;
  readonly intent: Intent | null;
  readonly phase: ReadingPhase | null;
  /** The least hours said, or null. */
  readonly leastHours: number | null;
  readonly marks: ReadonlySet<string>;
}

/** The highest urgency that any line of the table gives. Who must act on it and until when is triage's matter. */
export function urgencyOf(table: readonly UrgencyRuleData[], weighed: Weighed): Urgency {
  let urgency: Urgency = 'none';
  for (const rule of table) if (applies(rule, weighed)) urgency = higherUrgency(urgency, rule.urgency);
  return urgency;
}

function applies(rule: UrgencyRuleData, { signs, intent, phase, leastHours, marks }: Weighed): boolean {
  if (rule.sign && !signs.has(rule.sign)) return false;
  if (rule.signs && !rule.signs.every((sign) => signs.has(sign))) return false;
  if (rule.intent && rule.intent !== intent) return false;
  if (rule.phase && !isPhaseOf(rule, phase)) return false;
  if (rule.hoursBelow !== undefined && (leastHours === null || leastHours >= rule.hoursBelow)) return false;
  if (rule.mark && !rule.mark.some((mark) => marks.has(mark))) return false;
  return !rule.withoutMark?.some((mark) => marks.has(mark));
}

/** A phase nobody told may be any: a sign counts as in the strictest of them. Hours mean nothing without a phase. */
function isPhaseOf(rule: UrgencyRuleData, phase: ReadingPhase | null): boolean {
  if (phase === null) return rule.hoursBelow === undefined;
  return rule.phase?.includes(phase) === true;
}
