/**
 * Every kind of text toeline sends. The kind decides the wording, the lane, the promise and what the family was
 * asked. Wording lives in `flows/languages/<code>/messages.yaml` under the same key.
 */
export const CHECK_INS = [
  'cast-day',
  'cast-mid',
  'tenotomy-day-1',
  'tenotomy-day-3',
  'tenotomy-day-7',
  'cast-off-day',
  'brace-night-1',
  'brace-week',
  'brace-month',
  'skin-check',
  'fit-check',
  'walking-check',
  'missed-visit',
  'missed-visit-again',
] as const;
/** A text that asks something and waits for an answer; its definition is `flows/check-ins/<name>.yaml`. */
export type CheckIn = (typeof CHECK_INS)[number];

export const REMINDERS = ['visit-in-3-days', 'visit-tomorrow'] as const;
/** A text that tells something and waits for nothing. */
export type Reminder = (typeof REMINDERS)[number];

/** What the course may schedule. */
export type CourseTextKind = CheckIn | Reminder;

/**
 * The lane a text travels in; an earlier lane always goes first.
 * safety: go now, call now. answer: the reply a family waits for. visit: reminders. check-in: questions.
 */
export const LANES = ['safety', 'answer', 'visit', 'check-in'] as const;
export type Lane = (typeof LANES)[number];

/**
 * What is promised when a crash leaves it open whether a text went out.
 * `at-least-once`: send again (safety, answers a nurse wrote). `at-most-once`: do not (reminders, check-ins).
 */
export type Promised = 'at-least-once' | 'at-most-once';

/**
 * planned -> queued -> handed-over -> accepted -> delivered | failed | expired | unknown;
 * `dropped`: its time had passed before it could go; `withdrawn`: no longer wanted (stopped, visit moved).
 */
export const TEXT_STATES = [
  'planned',
  'queued',
  'handed-over',
  'accepted',
  'delivered',
  'failed',
  'expired',
  'unknown',
  'dropped',
  'withdrawn',
] as const;
export type TextState = (typeof TEXT_STATES)[number];
