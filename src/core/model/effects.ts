import type { FlagRaised } from './flag.js';
import type { ChildId } from './ids.js';
import type { Asked } from './signs.js';
import type { CheckIn, Lane, Promised } from './texts.js';

/**
 * What the pure core decided should happen. The shell carries the list out in one transaction; nothing in here
 * has happened yet.
 */
export type Effect =
  | {
      /** Text this guardian. `wording` is a key of messages.yaml, `values` fill its placeholders. */
      readonly type: 'text';
      readonly childId: ChildId | null;
      readonly kind: string;
      readonly wording: string;
      readonly values: Readonly<Record<string, string>>;
      /**
       * The wording by language as it was when this conversation began, so that an edited check-in does not change
       * under a family that is in the middle of it. Absent: the present messages.yaml.
       */
      readonly templates?: Readonly<Record<string, string>>;
      /** The language to write in when it is not the guardian's stored one (just asked for). */
      readonly language?: string;
      readonly lane: Lane;
      readonly promised: Promised;
      /** Two effects with one key are one text. */
      readonly key: string;
      /** Instants in ms. `notBefore` null: now. `expires` null: never stale. */
      readonly notBefore: number | null;
      readonly expires: number | null;
      /** Safety texts go outside sending hours, past quiet and frequency caps. */
      readonly ignoresHours: boolean;
    }
  | { readonly type: 'raise-flag'; readonly childId: ChildId | null; readonly flag: FlagRaised }
  | {
      /** "better now", an answer to a question: added to the open flag, lowers nothing. */
      readonly type: 'add-to-flag';
      readonly childId: ChildId | null;
      readonly matter: FlagRaised['matter'];
      readonly note: string;
    }
  | {
      /** Wake this conversation at an instant (ms) with the event `due`: silence, gentle repeat, call task. */
      readonly type: 'wake-at';
      readonly at: number;
      readonly reason: 'repeat' | 'silence' | 'follow-up';
    }
  | {
      /** No more texts to this number (opt-out, wrong number) or about this child (death). */
      readonly type: 'stop-texts';
      readonly scope: 'number' | 'child';
      readonly childId: ChildId | null;
      readonly why: 'opted-out' | 'wrong-number' | 'died';
    }
  | { readonly type: 'resume-texts' }
  | { readonly type: 'be-quiet-until'; readonly at: number; readonly why: 'hospital' | 'mourning' }
  | { readonly type: 'set-language'; readonly language: string }
  | {
      /** A day's brace wear as the family told it. `date` is the local date of the night or day meant. */
      readonly type: 'record-wear';
      readonly childId: ChildId;
      readonly date: string;
      readonly low: number;
      readonly high: number;
    }
  | { readonly type: 'start-check-in'; readonly childId: ChildId; readonly checkIn: CheckIn };

/** A conversation as it is stored between texts: which definition and version, and XState's snapshot as JSON. */
export interface StoredConversation {
  readonly checkIn: CheckIn | 'open-door';
  readonly version: string;
  readonly childId: ChildId | null;
  readonly snapshot: unknown;
  /** What the standing question is about, for the reader of the next text; `open` when none stands. */
  readonly asked: Asked;
  /** `asking`: a question stands; `done`: ended. Only one conversation of a guardian may be asking. */
  readonly state: 'asking' | 'done';
}

export interface Step {
  /** What to store for this guardian; null: nothing is stored, an earlier conversation stays as it is. */
  readonly conversation: StoredConversation | null;
  readonly effects: readonly Effect[];
  /**
   * A check-in that did not begin, and why. `question-open`: try again within the hour until it expires; the
   * others: let it go.
   */
  readonly notBegun?: 'question-open' | 'weekly-limit' | 'quiet' | 'stopped' | 'not-reading';
}
