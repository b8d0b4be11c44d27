import type { Step, StoredConversation } from '../core/model/effects.js';
import type { ChildFacts, StepFacts } from '../core/model/family.js';
import type { FlagOutcome, FlagRaised } from '../core/model/flag.js';
import type { Reading, TextToRead } from '../core/model/reading.js';
import type { CheckIn, Reminder } from '../core/model/texts.js';
import type { Clinic } from '../store/clinics.js';
import type { PlanCourse } from '../store/course-record.js';
import type { StandingOf } from '../store/facts.js';
import type { FlagRow } from '../store/tables.js';

/** Which steps of the on-call ladder are due, in order. */
export interface EscalationPlan {
  readonly due: readonly {
    readonly number: number;
    readonly step: string;
    readonly staffId: string | null;
  }[];
  /** When to look again (ms); null: nothing more to do. */
  readonly nextAt: number | null;
}

/**
 * The pure core as the jobs need it: facts in, decisions out. The composition root fills it with the clinic's files;
 * nothing in here touches a database, a queue or a clock.
 */
export interface Core {
  readText(text: TextToRead): Reading;
  /** A family's text: what it changes. */
  onText(input: {
    readonly conversation: StoredConversation | null;
    readonly text: string;
    readonly reading: Reading;
    readonly facts: StepFacts;
    readonly now: number;
  }): Step;
  startCheckIn(input: {
    readonly checkIn: CheckIn;
    readonly child: ChildFacts;
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
    /** The date or visit it belongs to; part of the key that keeps it from going out twice. */
    readonly for: string;
  }): Step;
  /** A conversation's timer rang. */
  onWake(input: {
    readonly conversation: StoredConversation;
    readonly reason: 'repeat' | 'silence' | 'follow-up';
    /** Another conversation of this guardian that is asking meanwhile. */
    readonly pending: StoredConversation | null;
    readonly facts: StepFacts;
    readonly now: number;
  }): Step;
  /** Another guardian has answered: this one's question ends without a word. Null: none stood. */
  onAnsweredElsewhere(input: {
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
  }): StoredConversation | null;
  /** A nurse has closed a matter: what the family hears, and whether it is asked a day later. */
  onClosed(input: {
    readonly matter: FlagRow['matter'];
    readonly urgency: FlagRow['urgency'];
    readonly outcome: FlagOutcome;
    readonly child: ChildFacts | null;
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
  }): Step;
  /** A text that tells something and waits for nothing. */
  remind(input: {
    readonly reminder: Reminder;
    readonly child: ChildFacts;
    readonly facts: StepFacts;
    readonly clinic: Clinic;
    readonly for: string;
    readonly expiresAt: number;
    readonly now: number;
  }): Pick<Step, 'effects' | 'notBegun'>;
  /** A text from a number nobody enrolled: the flag it raises and what is answered. */
  onUnknownNumber(input: { readonly reading: Reading; readonly text: string; readonly now: number }): {
    readonly flag: FlagRaised;
    readonly reply: { readonly wording: string; readonly lane: 'safety' | 'answer' };
  };
  /** The words themselves; falls back to a language that has them. */
  fillWording(wanted: {
    readonly wording: string;
    readonly values: Readonly<Record<string, string>>;
    readonly language: string;
    readonly templates?: Readonly<Record<string, string>>;
  }): { readonly body: string; readonly language: string };
  readonly planCourse: PlanCourse;
  readonly standingOf: StandingOf;
  /** Instant (ms) by which a person must have acted on a flag opened at `openedAt`. Clinic null: none is known. */
  dueAt(openedAt: number, flag: FlagRaised, clinic: Clinic | null): number;
  escalation(flag: FlagRow, clinic: Clinic, now: number): EscalationPlan;
}
