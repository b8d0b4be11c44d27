import type { StoredConversation } from '../../core/model/effects.js';
import type { ChildFacts, StepFacts } from '../../core/model/family.js';
import type { FlagRaised, Matter } from '../../core/model/flag.js';
import type { ClinicId, GuardianId, StaffId } from '../../core/model/ids.js';
import type { ClinicHours } from '../../core/triage/limits.js';
import type { Enrolled } from './families.js';

export interface NurseDaysOptions {
  readonly families: number;
  readonly nurses: number;
  readonly days: number;
  /** Share of check-ins that are answered. */
  readonly answerRate: number;
  readonly seed: number;
}

/** One open or settled matter of the simulated days. Instants in ms. */
export interface SimulatedFlag {
  readonly matter: Matter;
  readonly rule: string;
  urgency: FlagRaised['urgency'];
  risk: number;
  readonly openedAt: number;
  /** When it became as urgent as it is; waits and the ladder count from here. */
  urgencyAt: number;
  dueAt: number;
  takenAt: number | null;
  closedAt: number | null;
  escalatedStep: number;
  texts: number;
}

export interface SimulatedDays {
  readonly from: number;
  readonly to: number;
  readonly flags: readonly SimulatedFlag[];
  readonly textsIn: number;
  readonly textsOut: number;
  readonly questions: number;
  readonly escalations: readonly { readonly at: number; readonly step: number; readonly urgency: string }[];
}

/** Minutes a nurse is busy with a flag; assumed, no source. */
export const MINUTES = { now: 15, today: 10, soon: 6 } as const;
/** Outside clinic hours the nurse on call answers her phone after so long on average; assumed, no source. */
export const ON_CALL_MINUTES = 6;
export const MINUTE = 60_000;
export const DAY = 86_400_000;
export const HOURS: ClinicHours = {
  timeZone: 'Africa/Nairobi',
  opens: '08:00',
  closes: '16:00',
  days: ['monday', 'tuesday', 'wednesday', 'thursday', 'friday'],
  closed: [],
};
/** Monday; the days before the first one told are for the queue to fill. */
export const FIRST_DAY = '2026-03-02';

export interface Family extends Enrolled {
  conversation: StoredConversation | null;
  wake: { at: number; reason: 'repeat' | 'silence' | 'follow-up' } | null;
  readonly open: Map<Matter, SimulatedFlag>;
  readonly told: { sign: ChildFacts['recentSigns'][number]['sign']; at: number }[];
}

export const ROTA = {
  nurse: 'nurse' as StaffId,
  second: 'second' as StaffId,
  clinician: 'clinician' as StaffId,
};

export function rank(urgency: FlagRaised['urgency']): number {
  return { soon: 1, today: 2, now: 3 }[urgency];
}

export function flagFrom(
  { matter, rule, urgency, risk }: FlagRaised,
  openedAt: number,
  due: number,
): SimulatedFlag {
  const untouched = { takenAt: null, closedAt: null, escalatedStep: 0, texts: 1 };
  return { matter, rule, urgency, risk, openedAt, urgencyAt: openedAt, dueAt: due, ...untouched };
}

export function factsOf(child: ChildFacts, family: Family): StepFacts {
  return {
    clinic: {
      id: 'clinic' as ClinicId,
      name: 'Clinic',
      timeZone: HOURS.timeZone,
      callNumber: '+15550100123',
      emergencyNumber: '112',
      sendingFrom: '08:00',
      sendingTo: '20:00',
    },
    guardian: {
      id: `guardian-of-${child.id}` as GuardianId,
      language: 'en',
      reads: true,
      isStopped: false,
      quietUntil: null,
    },
    children: [child],
    openMatters: [...family.open.values()].map(({ matter, urgency, openedAt }) => ({
      matter,
      urgency,
      openedAt,
      childId: child.id,
    })),
    asked: family.conversation?.asked ?? 'open',
  };
}
