import { DateTime } from 'luxon';
import type { ChildFacts } from '../model/family.js';
import type { Reading } from '../model/reading.js';
import type { Sign } from '../model/signs.js';
import type { Condition } from './rules.js';

/** What a condition is held against. */
export interface Situation {
  readonly reading: Reading;
  /** Null: nobody knows whose text it is; every condition on the child then counts as fitting. */
  readonly child: ChildFacts | null;
  readonly zone: string;
  /** Degrees Celsius said in the text, or null. */
  readonly temperature: number | null;
  readonly now: number;
}

/**
 * Whether a rule's condition holds. What is not known (phase, age, day) counts as fitting, so that a gap in the
 * record never lowers an urgency. Pure.
 */
export function holds(condition: Condition, situation: Situation): boolean {
  if (condition['by-name-only']) return false;
  return (
    signsFit(condition, situation.reading) &&
    childFits(condition, situation) &&
    historyFits(condition, situation) &&
    contentFits(condition, situation)
  );
}

/** The signs of the text that made the condition hold, in the order of the reading. */
export function signsBehind(condition: Condition, reading: Reading): readonly Sign[] {
  const named = new Set<Sign>([...condition.any, ...condition.all, ...condition.with]);
  return reading.signs.filter((sign) => named.has(sign));
}

function signsFit(condition: Condition, reading: Reading): boolean {
  const has = (sign: Sign) => reading.signs.includes(sign);
  if (condition.any.length > 0 && !condition.any.some(has)) return false;
  if (!condition.all.every(has)) return false;
  if (condition.with.length > 0 && !condition.with.some(has)) return false;
  return !condition.without.some(has);
}

function childFits(condition: Condition, { child, zone, now }: Situation): boolean {
  if (!child) return true;
  if (condition.phases.length > 0 && child.phase !== null && !condition.phases.includes(child.phase)) {
    return false;
  }
  if (condition.months && !inMonths(condition.months, ageInMonths(child.born, now, zone))) return false;
  return (
    inDays(condition['day-in-phase'], child.dayInPhase) &&
    inDays(condition['cast-day'], child.castDay) &&
    inDays(condition['tenotomy-day'], child.tenotomyDay)
  );
}

function historyFits(condition: Condition, { child, zone, now }: Situation): boolean {
  const past = child?.recentSigns ?? [];
  if (condition.again) {
    const { signs, times, 'within-days': days } = condition.again;
    const since = now - days * DAY;
    const told = past.filter(({ sign, at }) => signs.includes(sign) && at >= since && at < now);
    const dates = new Set(told.map(({ at }) => localDate(at, zone)));
    dates.add(localDate(now, zone));
    if (dates.size < times) return false;
  }
  if (condition.still) {
    const { signs, after, within } = condition.still;
    const told = past.some(
      ({ sign, at }) => signs.includes(sign) && at <= now - after * MINUTE && at >= now - within * MINUTE,
    );
    if (!told) return false;
  }
  return true;
}

function contentFits(condition: Condition, { reading, temperature }: Situation): boolean {
  if (condition['fever-from'] !== null && temperature !== null && temperature < condition['fever-from']) {
    return false;
  }
  if (condition['read-as'] !== null && (reading.urgency === 'now') !== (condition['read-as'] === 'now')) {
    return false;
  }
  if (condition.intents.length > 0) {
    if (reading.intent === null || !condition.intents.includes(reading.intent)) return false;
  }
  if (condition['hours-below'] !== null) {
    if (reading.hours === null || lowestHours(reading.hours) >= condition['hours-below']) return false;
  }
  if (condition['understood-below'] !== null) {
    const isDoubtful = reading.understood < condition['understood-below'] || reading.urgency !== 'none';
    if (!isDoubtful || saysSomething(reading)) return false;
  }
  return true;
}

/** Whether anything a person could act on was read. */
export function saysSomething(reading: Reading): boolean {
  return reading.signs.length > 0 || reading.hours !== null || isActionable(reading);
}

function isActionable(reading: Reading): boolean {
  return reading.intent !== null && reading.intent !== 'all-well' && reading.intent !== 'thanks';
}

/** The lower end of told hours; the stricter one. */
export function lowestHours(hours: number | readonly [number, number]): number {
  return typeof hours === 'number' ? hours : hours[0];
}

/** Completed months between a date of birth and an instant, on the clinic's calendar. */
export function ageInMonths(born: string, now: number, zone: string): number {
  const birth = DateTime.fromISO(born, { zone });
  return Math.floor(DateTime.fromMillis(now, { zone }).diff(birth, 'months').months);
}

const MINUTE = 60_000;
const DAY = 86_400_000;

function localDate(at: number, zone: string): string {
  return DateTime.fromMillis(at, { zone }).toISODate() ?? '';
}

function inMonths(range: { from: number; under: number | null }, months: number): boolean {
  return months >= range.from && (range.under === null || months < range.under);
}

function inDays(range: { from: number; to: number | null } | null, day: number | null): boolean {
  if (range === null || day === null) return true;
  return day >= range.from && (range.to === null || day <= range.to);
}
