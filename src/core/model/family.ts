import type { Matter } from './flag.js';
import type { ChildId, ClinicId, GuardianId } from './ids.js';
import type { Asked, ReadingPhase, Sign, Urgency } from './signs.js';

/** What conversation and triage may know about a child. Assembled by the shell, read by the core. */
export interface ChildFacts {
  readonly id: ChildId;
  /** What the child is called in texts: a first name or an initial, as the family chose. Never a diagnosis. */
  readonly calledInTexts: string;
  /** ISO date of birth. */
  readonly born: string;
  readonly feet: readonly ('left' | 'right')[];
  readonly phase: ReadingPhase | null;
  /** 0 on the first day of the phase. */
  readonly dayInPhase: number | null;
  /** Days since the present cast went on; null outside casts. */
  readonly castDay: number | null;
  /** Days since the tenotomy; null before it. */
  readonly tenotomyDay: number | null;
  /** ISO date of the next visit, if any. */
  readonly nextVisit: string | null;
  readonly wearTargetHours: number | null;
  /** Hours on the road to the clinic, if known. */
  readonly travelHours: number | null;
  /** Signs read in the last 30 days, newest first, with their time (ms). */
  readonly recentSigns: readonly { readonly sign: Sign; readonly at: number }[];
}

export interface OpenMatter {
  readonly matter: Matter;
  readonly urgency: Urgency;
  readonly openedAt: number;
}

/** What conversation and triage may know about whoever holds the phone. */
export interface GuardianFacts {
  readonly id: GuardianId;
  readonly language: string;
  readonly reads: boolean;
  /** Texts to this number are stopped (opted out, mourning, wrong number). */
  readonly isStopped: boolean;
  /** ms until which only safety texts go (hospital stay, mourning); null: not quiet. */
  readonly quietUntil: number | null;
}

export interface ClinicFacts {
  readonly id: ClinicId;
  readonly name: string;
  readonly timeZone: string;
  /** The number a family may call, as shown in texts. */
  readonly callNumber: string;
  /** The country's emergency number, as shown in texts. */
  readonly emergencyNumber: string;
  /** Local clock times "HH:MM". */
  readonly sendingFrom: string;
  readonly sendingTo: string;
}

/** Everything one step of a conversation may look at. */
export interface StepFacts {
  readonly clinic: ClinicFacts;
  readonly guardian: GuardianFacts;
  /** The children this guardian texts about; usually one. */
  readonly children: readonly ChildFacts[];
  readonly openMatters: readonly (OpenMatter & { readonly childId: ChildId | null })[];
  /** Words this guardian was last asked in, if a question is open. */
  readonly asked: Asked;
  /** Reminders and check-ins sent to this number in the last 7 days, for the weekly limit. Absent: none. */
  readonly sentThisWeek?: number;
}
