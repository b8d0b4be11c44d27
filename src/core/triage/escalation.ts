import type { StaffId } from '../model/ids.js';
import type { Urgency } from '../model/signs.js';
import { type ClinicHours, isOpen } from './limits.js';
import type { TriageRules } from './rules.js';

/** Who is told, one after another, when nobody has taken a flag. */
export const LADDER_STEPS = ['nurse', 'second', 'clinician'] as const;
export type LadderStep = (typeof LADDER_STEPS)[number];

/** The people on call; a place nobody fills falls to the next one up. */
export interface OnCallRota {
  readonly nurse: StaffId | null;
  readonly second: StaffId | null;
  readonly clinician: StaffId | null;
}

export interface UnclaimedFlag {
  readonly urgency: Urgency;
  readonly openedAt: number;
  readonly dueAt: number;
  readonly state: 'open' | 'taken' | 'closed';
  /** Steps already done: 0 none, 1 the nurse was told, 2 the second person, 3 the clinician. */
  readonly escalatedStep: number;
}

export interface Escalation {
  readonly step: LadderStep;
  /** 1-based place on the ladder, to be stored as `escalatedStep`. */
  readonly number: number;
  /** Null: nobody fills this place nor one above it; the flag stays on the page as overdue. */
  readonly staffId: StaffId | null;
  /** When it was due (ms). */
  readonly at: number;
}

export interface EscalationPlan {
  /** Steps whose time has come, in order. */
  readonly due: readonly Escalation[];
  /** When to look again (ms), or null when the ladder is used up or somebody has it. */
  readonly nextAt: number | null;
}

/**
 * Which steps of the ladder are due for a flag that nobody has taken, and when the next one will be. `now` counts
 * from the opening (with its own times outside clinic hours), the others from the passing of their limit. Pure.
 */
export function escalationSteps(
  rules: TriageRules,
  flag: UnclaimedFlag,
  rota: OnCallRota,
  hours: ClinicHours,
  now: number,
): EscalationPlan {
  if (flag.state !== 'open' || flag.urgency === 'none') return { due: [], nextAt: null };
  const due: Escalation[] = [];
  for (const [index, step] of LADDER_STEPS.entries()) {
    const number = index + 1;
    const after = ladderOf(rules, flag, hours)[step];
    if (number <= flag.escalatedStep || after === null) continue;
    const at = startOf(flag) + after * 60_000;
    if (at > now) return { due, nextAt: at };
    due.push({ step, number, staffId: onCall(rota, step), at });
  }
  return { due, nextAt: null };
}

function ladderOf(rules: TriageRules, flag: UnclaimedFlag, hours: ClinicHours) {
  if (flag.urgency === 'now') {
    return isOpen(flag.openedAt, hours) ? rules.ladder.now : rules.ladder['now-outside-hours'];
  }
  return flag.urgency === 'today' ? rules.ladder.today : rules.ladder.soon;
}

function startOf(flag: UnclaimedFlag): number {
  return flag.urgency === 'now' ? flag.openedAt : flag.dueAt;
}

/** The person of this place, or of the nearest place above it that is filled. */
function onCall(rota: OnCallRota, step: LadderStep): StaffId | null {
  const places = LADDER_STEPS.slice(LADDER_STEPS.indexOf(step));
  for (const place of places) if (rota[place]) return rota[place];
  return null;
}
