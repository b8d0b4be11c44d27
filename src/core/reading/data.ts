import type { Asked, Intent, ReadingPhase, Sign, Urgency } from '../model/signs.js';

/**
 * What a concept does. `part`: a thing or a place on the child. `trouble`: a bad state; said, it is there;
 * negated, it is denied. `ability`: negated, it is bad ("do not move"). `well`: a good state; negated, bad.
 * `sign`/`intent`: a whole sign or intent in one phrase. `operator`: changes how others are read.
 * `time`, `unit`: for hours. `mark`: colours the urgency. `filler`: a known word that says nothing here.
 */
export const CONCEPT_KINDS = [
  'part',
  'trouble',
  'ability',
  'well',
  'sign',
  'intent',
  'operator',
  'time',
  'unit',
  'mark',
  'filler',
] as const;
export type ConceptKind = (typeof CONCEPT_KINDS)[number];

export interface ConceptData {
  readonly kind: ConceptKind;
  readonly means: string;
}

/** One line of `flows/reading/rules.yaml`: a state, what it is a state of, and the sign this gives. */
export interface SignRuleData {
  /** A concept, or `not CONCEPT` for an ability or a good state that is missing. */
  readonly when: string;
  /** Parts it may be a state of; the nearest fitting one is taken. */
  readonly of?: readonly string[] | undefined;
  /** True: holds when no fitting part is named. */
  readonly unsaid?: boolean | undefined;
  readonly asked?: readonly Asked[] | undefined;
  readonly phase?: readonly ReadingPhase[] | undefined;
  /** Concepts, one of which must stand in the same sentence. */
  readonly near?: readonly string[] | undefined;
  /** Concepts, none of which may stand in the same sentence. */
  readonly without?: readonly string[] | undefined;
  /** The whole text has at most this many words: a state with no thing named is believed in a short text only. */
  readonly within?: number | undefined;
  /** `nothing`: this state of this thing is no sign. */
  readonly gives: Sign | Intent | 'nothing';
}

/** One line of `flows/reading/urgency.yaml`. All conditions named must hold; the highest of all lines counts. */
export interface UrgencyRuleData {
  readonly sign?: Sign | undefined;
  /** All of these signs together. */
  readonly signs?: readonly Sign[] | undefined;
  readonly intent?: Intent | undefined;
  readonly phase?: readonly ReadingPhase[] | undefined;
  readonly hoursBelow?: number | undefined;
  /** Marks (concepts of kind `mark`), one of which must be in the text. */
  readonly mark?: readonly string[] | undefined;
  readonly withoutMark?: readonly string[] | undefined;
  readonly urgency: Urgency;
  readonly source: string;
}

export type Direction = 'before' | 'after' | 'both';

export interface AffixData {
  /** Letters cut off the front, one of these. */
  readonly before?: readonly string[] | undefined;
  /** Letters cut off the end, one of these. */
  readonly after?: readonly string[] | undefined;
  /** Concepts the cut-off letters carry, e.g. `not`. */
  readonly adds?: string | undefined;
  /** Fewest letters that must remain; default 3. */
  readonly leaves?: number | undefined;
}

export interface NumberData {
  /** value -> spellings. Values may be fractions ("0.5": half). */
  readonly words: Readonly<Record<string, readonly string[]>>;
  /** Words that join two number words ("and", "y", "na"). */
  readonly joiners?: readonly string[] | undefined;
  /** Numbers said as ones before tens ("four and twenty"). */
  readonly onesFirst?: boolean | undefined;
  /** Whole phrases that say hours of wear by themselves. */
  readonly hours?: Readonly<Record<string, readonly string[]>> | undefined;
}

export interface LanguageData {
  readonly code: string;
  readonly name: string;
  readonly english: string;
  readonly direction: 'ltr' | 'rtl';
  readonly review: string;
  /** Where a negating word stands as a rule, seen from what it negates. */
  readonly negation: Direction;
  /** Hours of the clock are counted from six in the morning and six in the evening. */
  readonly sixHourClock: boolean;
  readonly sounds: readonly (readonly [string, string])[];
  readonly affixes: readonly AffixData[];
  /** Words never taken for a misspelling of another. */
  readonly neverMisspelt: readonly string[];
  /** Ordinary words that mean nothing here: never taken for a slip of another word, counted as not understood. */
  readonly common: readonly string[];
  /** concepts (one or more, space-separated) -> phrases. */
  readonly words: Readonly<Record<string, readonly string[]>>;
  readonly numbers: NumberData;
  /** Whole-message answers. */
  readonly yes: readonly string[];
  readonly no: readonly string[];
  /** Whole-message opt-out words, exactly. */
  readonly stopWords: readonly string[];
}

export interface ReadingData {
  readonly concepts: Readonly<Record<string, ConceptData>>;
  readonly rules: readonly SignRuleData[];
  readonly urgency: readonly UrgencyRuleData[];
  /** concept -> emoji. */
  readonly emoji: Readonly<Record<string, readonly string[]>>;
  readonly languages: readonly LanguageData[];
}
