import type { Asked, Intent, ReadingPhase, Sign, Urgency } from './signs.js';

/** A stretch of the family's text, in UTF-16 offsets, `end` exclusive. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

export interface Evidence extends Span {
  readonly sign: Sign;
}

export interface TextToRead {
  readonly text: string;
  /** The family's language (BCP 47 primary tag). A hint, never a wall. */
  readonly lang?: string;
  readonly phase?: ReadingPhase;
  readonly asked?: Asked;
}

/** What one text says. Pure data; the words that gave each sign are its evidence. */
export interface Reading {
  /** What is there now, also when the family is unsure. In the order of `SIGNS`. */
  readonly signs: readonly Sign[];
  /** What the text says is not there. */
  readonly denied: readonly Sign[];
  /** Hours of brace wear in 24 h: a number, a range `[low, high]`, or null when none is said. */
  readonly hours: number | readonly [number, number] | null;
  readonly intent: Intent | null;
  readonly urgency: Urgency;
  /** 0..1: how much of the text was understood. Below the reader's limit a person reads it. */
  readonly understood: number;
  readonly evidence: readonly Evidence[];
  /** The language the text was mostly read in. */
  readonly language: string;
  /** Words nothing was made of. */
  readonly unread: readonly Span[];
}
