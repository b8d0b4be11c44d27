import { dayOf } from '../../time/calendar-days.js';
import { middle, type ToldWear, targetOn, type WearAim } from './wear-record.js';
import { median } from './wear-trend.js';

/**
 * When a family that wore the brace may be stopping. The rule looks at answers, not at days, since a family is asked
 * once a week or once a month:
 *
 * - `low`: the last answer is below half of what is asked for. Half of 12 is the 6 hours below which a third of
 *   families who kept the correction had also fallen by 18 months (Richards BS et al., 124 patients), so a low
 *   answer is a reason to talk, not a verdict.
 * - `short`: the last two answers are both below three quarters of what is asked for.
 * - `falling`: the last two answers are both below four fifths of this family's own usual (the median of at least two
 *   earlier answers in the same step), because a fall predicted decline (Morgenstein A et al. 2015) where a level did not.
 * - `silent`: a family that answers is not answering any more: at least two questions about wear in a row without an
 *   answer, so many that a family answering as this one did before would leave them unanswered at most once in eight
 *   times. A family that never answered much is not flagged by this rule over and over; that nobody answered a safety
 *   question is another matter, handled where it is asked.
 *
 * Thresholds: common practice, no source, chosen by the simulation in `wear/README.md`.
 */
export const LAPSE = {
  low: 0.5,
  short: 0.75,
  falling: 0.8,
  answers: 2,
  questions: 2,
  chance: 1 / 8,
} as const;

export type LapseKind = 'low' | 'short' | 'falling' | 'silent';

export interface Lapse {
  readonly kind: LapseKind;
  /** ISO date of the answer, or of the question, that made it so. */
  readonly since: string;
  readonly reason: string;
  readonly source: string;
}

export interface WearQuestion {
  /** ISO date on which the family was asked about wear. */
  readonly date: string;
  readonly isAnswered: boolean;
}

const SOURCE =
  'a fall predicts decline: Morgenstein A et al. J Pediatr Orthop 2015;35(2):185-191; levels mislead: Richards BS et al., brace wear in successfully treated clubfeet, 124 patients; thresholds: common practice, no source';

/**
 * Whether a lapse is to be looked at now. Told wear and questions oldest first, both up to now; questions that were
 * just asked and may still be answered do not belong in the list. Null: nothing to show. Pure.
 */
export function findLapse(
  told: readonly ToldWear[],
  aims: readonly WearAim[],
  questions: readonly WearQuestion[],
): Lapse | null {
  const answers = told.flatMap((day) => {
    const target = targetOn(aims, day.date);
    return target === null || target === 0 ? [] : [{ ...day, target, hours: middle(day) }];
  });
  const last = answers.at(-1);
  const unanswered = silence(questions, last?.date);
  if (last !== undefined && (unanswered === null || last.date > unanswered)) {
    if (last.high < LAPSE.low * last.target)
      return lapse(
        'low',
        last.date,
        `The last answer was ${last.hours} hours of ${last.target}, below half.`,
      );
    const two = answers.slice(-LAPSE.answers);
    if (two.length === LAPSE.answers && two.every((day) => day.hours < LAPSE.short * day.target))
      return lapse(
        'short',
        last.date,
        `The last two answers (${two.map((day) => day.hours).join(', ')} hours) are below three quarters of what is asked for.`,
      );
    const usual = usualBefore(answers, last.target);
    if (usual !== null && two.every((day) => day.hours < LAPSE.falling * usual))
      return lapse(
        'falling',
        last.date,
        `The last two answers (${two.map((day) => day.hours).join(', ')} hours) are a fifth below this family's usual ${usual}.`,
      );
  }
  return unanswered === null
    ? null
    : lapse(
        'silent',
        unanswered,
        'The last questions about wear were not answered, which is unlike this family.',
      );
}

/** The median of the answers before the last two in the same step; null: fewer than two. */
function usualBefore(answers: readonly { hours: number; target: number }[], target: number): number | null {
  const earlier = answers.slice(0, -LAPSE.answers).filter((day) => day.target === target);
  if (earlier.length < 2) return null;
  return median(earlier.map((day) => day.hours).sort((a, b) => a - b));
}

/** The date of the last question of a silence that is unlike this family, if that is how it stands. */
function silence(questions: readonly WearQuestion[], lastTold: string | undefined): string | null {
  const last = questions.at(-1);
  let run = 0;
  while (run < questions.length && questions[questions.length - 1 - run]?.isAnswered === false) run++;
  const first = questions[questions.length - run];
  if (last === undefined || first === undefined || run < LAPSE.questions) return null;
  if (lastTold !== undefined && dayOf(lastTold) >= dayOf(first.date)) return null;
  const before = questions.slice(0, questions.length - run);
  // Before anything is known a family is taken to answer one question in three, as in the study closest to ours
  // (33-41 %: Huxford C et al. PLoS One 2025, doi 10.1371/journal.pone.0322969).
  const answers = (before.filter((question) => question.isAnswered).length + 1) / (before.length + 3);
  return (1 - answers) ** run <= LAPSE.chance ? last.date : null;
}

const lapse = (kind: LapseKind, since: string, reason: string): Lapse => ({
  kind,
  since,
  reason,
  source: SOURCE,
});
