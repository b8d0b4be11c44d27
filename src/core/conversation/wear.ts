import { DateTime } from 'luxon';
import type { Effect } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import type { Reading } from '../model/reading.js';
import type { Turn } from './turn.js';

/**
 * The local date a told wear belongs to: that of 12 hours ago, so that the morning tells of the night before and
 * the evening of the day itself. Common practice, no source.
 */
export function wearDate(now: number, zone: string): string {
  return DateTime.fromMillis(now, { zone }).minus({ hours: 12 }).toISODate() ?? '';
}

/** Records told hours of a child who wears a brace; a later text of the same day corrects the earlier one. */
export function recordWear(turn: Turn, child: ChildFacts | null, reading: Reading): Effect[] {
  if (!child || reading.hours === null) return [];
  const wearsBrace =
    child.phase === 'brace-day' || child.phase === 'brace-night' || child.wearTargetHours !== null;
  if (!wearsBrace) return [];
  const [low, high] = typeof reading.hours === 'number' ? [reading.hours, reading.hours] : reading.hours;
  const date = wearDate(turn.now, turn.facts.clinic.timeZone);
  return [{ type: 'record-wear', childId: child.id, date, low, high }];
}
