import type { Evidence } from './reading.js';
import type { Sign, Urgency } from './signs.js';

/**
 * One trouble of one child that a person must look at. Many texts about one trouble are one open matter:
 * at most one open flag stands per child (or unknown number) and matter.
 */
export const MATTERS = [
  'circulation',
  'cast-position',
  'cast-damage',
  'bleeding',
  'infection',
  'pain',
  'unwell',
  'died',
  'skin',
  'wear',
  'fit',
  'relapse',
  'visit',
  'request',
  'unread',
  'unknown-number',
  'silent',
  'unreachable',
  'stop',
  'course',
  'system',
] as const;
export type Matter = (typeof MATTERS)[number];

export type FlagState = 'open' | 'taken' | 'closed';

/** What triage decided about one text or one silence, before it becomes a row. */
export interface FlagRaised {
  readonly matter: Matter;
  readonly urgency: Exclude<Urgency, 'none'>;
  /** The rule in `flows/triage.yaml` (or the course alert) that decided. */
  readonly rule: string;
  /** One sentence for the nurse: why. */
  readonly reason: string;
  /** One sentence for the nurse: what to do next. */
  readonly nextStep: string;
  /** Orders flags of one urgency: higher first. 0..100. */
  readonly risk: number;
  /** Minutes until a person must have acted; counted in clinic hours unless the urgency is `now`. */
  readonly limitMinutes: number;
  readonly signs: readonly Sign[];
  readonly evidence: readonly Evidence[];
}

export const FLAG_OUTCOMES = [
  'family-reached',
  'seen-at-clinic',
  'sent-to-emergency',
  'visit-arranged',
  'brace-arranged',
  'advice-given',
  'no-action-needed',
  'not-reached',
  'wrongly-read',
] as const;
export type FlagOutcome = (typeof FLAG_OUTCOMES)[number];
