import type { Matter } from '../../core/model/flag.js';
import type { Evidence, Reading } from '../../core/model/reading.js';
import type { Urgency } from '../../core/model/signs.js';

/** What the pages read. Instants are ms since 1970, dates ISO, numbers E.164. */

export type FlagUrgency = Exclude<Urgency, 'none'>;

export interface ChildLine {
  readonly id: string;
  readonly name: string;
  readonly born: string;
  readonly feet: readonly ('left' | 'right')[];
  readonly phase: string;
  /** Date of the last cast, tenotomy and brace fitting on record. */
  readonly lastCast: string | null;
  readonly tenotomy: string | null;
  readonly braceFrom: string | null;
}

export interface QueueRow {
  readonly id: string;
  readonly matter: Matter;
  readonly urgency: FlagUrgency;
  readonly reason: string;
  readonly nextStep: string;
  readonly state: 'open' | 'taken' | 'closed';
  readonly openedAt: number;
  readonly dueAt: number;
  readonly takenAt: number | null;
  readonly takenById: string | null;
  readonly takenBy: string | null;
  readonly clinicName: string | null;
  readonly timeZone: string | null;
  readonly child: ChildLine | null;
  readonly guardianName: string | null;
  readonly relation: string | null;
  readonly number: string | null;
  /** The family's words that decided, with their evidence; null when a silence or the course raised the flag. */
  readonly words: string | null;
  readonly evidence: readonly Evidence[];
  /** How many of the family's texts stand under this flag. */
  readonly texts: number;
}

export interface QueueAsk {
  readonly clinicId: string | null;
  readonly now: number;
  readonly urgency: FlagUrgency | null;
  /** Only flags this member of staff has taken. */
  readonly takenBy: string | null;
  readonly offset: number;
  readonly limit: number;
}

export interface QueueCounts {
  readonly now: number;
  readonly today: number;
  readonly soon: number;
  readonly mine: number;
  readonly overdue: number;
  /** Changes with everything that changes the list; the same as in the news of the queue. */
  readonly mark: string;
}

export interface FlagEventRow {
  readonly id: string;
  readonly at: number;
  readonly kind: string;
  readonly staffName: string | null;
  readonly urgency: string | null;
  readonly note: string | null;
  readonly signs: readonly string[];
  readonly evidence: readonly Evidence[];
  readonly words: string | null;
}

export interface FlagPageRow extends QueueRow {
  readonly clinicId: string | null;
  readonly guardianId: string | null;
  readonly guardianLanguage: string | null;
  readonly rule: string;
  readonly risk: number;
  readonly urgencyAt: number;
  readonly closedAt: number | null;
  readonly closedBy: string | null;
  readonly outcome: string | null;
  readonly firstActionAt: number | null;
  readonly events: readonly FlagEventRow[];
}

export interface SaidText {
  readonly id: string;
  readonly direction: 'in' | 'out';
  readonly at: number;
  readonly body: string;
  readonly who: string | null;
  readonly number: string;
  /** Of a text in: stored | read | failed | joined; of a text out: its delivery state. */
  readonly state: string;
  readonly stateAt: number;
  readonly kind: string | null;
  readonly reading: Reading | null;
  readonly error: string | null;
}

export interface StaffRow {
  readonly id: string;
  readonly name: string;
  readonly role: string;
  readonly clinicId: string | null;
  readonly clinicName: string | null;
  readonly timeZone: string | null;
  readonly language: string;
}

export interface NextEvent {
  readonly at: number;
  readonly what: 'text' | 'wake' | 'escalation' | 'sending';
  readonly about: string | null;
}

export interface PhoneOwner {
  readonly guardianId: string;
  readonly name: string;
  readonly number: string;
  readonly language: string;
  readonly children: readonly ChildLine[];
}

export interface ChildInList {
  readonly child: ChildLine;
  readonly clinicName: string;
  readonly next: { readonly kind: string; readonly due: string; readonly status: string } | null;
  /** The most urgent open flag. */
  readonly urgency: FlagUrgency | null;
  readonly flags: number;
  readonly isUnreachable: boolean;
  readonly isStopped: boolean;
}

export interface GuardianRow {
  readonly id: string;
  readonly name: string;
  readonly number: string;
  readonly language: string;
  readonly reads: boolean;
  readonly chosenHour: string | null;
  readonly relation: string;
  readonly rank: number;
  readonly consentOn: string | null;
  readonly consentBy: string | null;
  readonly isStopped: boolean;
  readonly isUnreachable: boolean;
  readonly quietUntil: number | null;
}

export interface EventRow {
  readonly id: string;
  readonly type: string;
  readonly date: string;
  readonly body: Readonly<Record<string, unknown>>;
  readonly recordedBy: string | null;
  readonly recordedAt: number;
  readonly replacedBy: string | null;
  readonly isWithdrawn: boolean;
}

export interface WearRow {
  readonly date: string;
  readonly low: number;
  readonly high: number;
}

export interface OpenFlagRow {
  readonly id: string;
  readonly matter: Matter;
  readonly urgency: FlagUrgency;
  readonly state: string;
  readonly reason: string;
  readonly openedAt: number;
  readonly outcome: string | null;
}

export interface ChildPageRow {
  readonly child: ChildLine;
  readonly clinicId: string;
  readonly clinicName: string;
  readonly timeZone: string;
  readonly clinicNumber: string;
  readonly calledInTexts: string;
  readonly protocol: string;
  readonly travelHours: number | null;
  readonly weeksEarly: number;
  readonly isTextingStopped: boolean;
  readonly textingStoppedWhy: string | null;
  readonly guardians: readonly GuardianRow[];
  /** Also corrected and withdrawn ones. */
  readonly events: readonly EventRow[];
  readonly wear: readonly WearRow[];
  readonly flags: readonly OpenFlagRow[];
}

export interface ClinicRow {
  readonly id: string;
  readonly name: string;
  readonly country: string;
  readonly timeZone: string;
  readonly language: string;
  readonly protocol: string;
  readonly callNumber: string;
  readonly emergencyNumber: string;
  readonly clinicDays: readonly string[];
  readonly sendingFrom: string;
  readonly sendingTo: string;
  readonly opens: string;
  readonly closes: string;
  readonly closures: readonly string[];
}

export interface LikelyDuplicate {
  readonly id: string;
  readonly name: string;
  readonly born: string;
  /** One of the numbers given is already this child's. */
  readonly hasNumber: boolean;
}

export interface StaffListRow extends StaffRow {
  readonly isActive: boolean;
}
