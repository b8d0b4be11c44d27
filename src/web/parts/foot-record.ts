import type { EventRow } from '../../store/views/types.js';

/** The six signs in the order they are scored, hindfoot first. Dyer PJ, Davis N. J Bone Joint Surg Br 2006;88-B(8). */
export const SCORE_SIGNS = [
  'posteriorCrease',
  'emptyHeel',
  'rigidEquinus',
  'curvedLateralBorder',
  'medialCrease',
  'lateralHeadOfTalus',
] as const;
export type ScoreSign = (typeof SCORE_SIGNS)[number];
export type Foot = 'left' | 'right';

/** What one visit found on one foot. */
export interface FootPoint {
  readonly date: string;
  readonly eventId: string;
  readonly castNumber: number | null;
  /** 0..6 in steps of 0.5. */
  readonly score: number | null;
  readonly hindfoot: number | null;
  readonly midfoot: number | null;
  /** Degrees. */
  readonly abduction: number | null;
  readonly abductionAngle: string | null;
}

/** Score and abduction of one foot over time, from the events that stand. */
export function footPoints(events: readonly EventRow[], foot: Foot): FootPoint[] {
  return standing(events).flatMap((event) => {
    const found = findingsOf(event, foot);
    if (found === null) return [];
    const signs = isRecord(found.pirani) ? found.pirani : null;
    const hindfoot = signs === null ? null : sum(signs, SCORE_SIGNS.slice(0, 3));
    const midfoot = signs === null ? null : sum(signs, SCORE_SIGNS.slice(3));
    const total = hindfoot === null || midfoot === null ? null : hindfoot + midfoot;
    const point: FootPoint = {
      date: event.date,
      eventId: event.id,
      castNumber: typeof event.body.number === 'number' ? event.body.number : null,
      score: typeof found.pirani === 'number' ? found.pirani : total,
      hindfoot,
      midfoot,
      abduction: typeof found.abduction === 'number' ? found.abduction : null,
      abductionAngle: typeof found.abductionAngle === 'string' ? found.abductionAngle : null,
    };
    return point.score === null && point.abduction === null ? [] : [point];
  });
}

/** Events neither corrected nor withdrawn. */
export function standing(events: readonly EventRow[]): EventRow[] {
  return events.filter((event) => event.replacedBy === null && !event.isWithdrawn);
}

/** What an event says of one foot; null when it says nothing of it. */
export function findingsOf(event: EventRow, foot: Foot): Readonly<Record<string, unknown>> | null {
  const feet = event.body.feet;
  if (!isRecord(feet)) return null;
  const found = feet[foot];
  return isRecord(found) ? found : null;
}

function sum(signs: Readonly<Record<string, unknown>>, names: readonly string[]): number | null {
  const values = names.map((name) => signs[name]);
  return values.every((value): value is number => typeof value === 'number')
    ? values.reduce((a, b) => a + b, 0)
    : null;
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
