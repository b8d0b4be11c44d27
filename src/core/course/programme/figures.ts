import type { CourseInput } from '../../model/course-events.js';
import { civilOfDay, type Day, dayOf, monthsBetween } from '../../time/calendar-days.js';
import { planCourse } from '../course.js';
import { tellHistory } from '../history.js';
import type { Protocol } from '../protocol.js';
import { middle, type ToldWear } from '../wear/wear-record.js';
import { type FollowUp, followUp } from './follow-up.js';
import { kaplanMeier, medianTime, type Observed, type SurvivalStep, shareOf } from './kaplan-meier.js';

export interface ProgrammeChild {
  readonly clinic: string;
  readonly input: CourseInput;
  readonly protocol: Protocol;
  readonly wear: readonly ToldWear[];
}

type Share = ReturnType<typeof shareOf>;

export interface CastsPerFoot {
  readonly feet: number;
  readonly mean: number | null;
  readonly standardDeviation: number | null;
  readonly least: number | null;
  readonly most: number | null;
}

/** What one clinic reports for one quarter, or for all time. */
export interface Figures {
  readonly clinic: string;
  /** "2026-Q1", or null for all time. */
  readonly quarter: string | null;
  readonly children: number;
  /** Kept out of all visits whose time is over: kept, missed, or overdue. */
  readonly attendance: Share;
  /** Kept inside the window, out of those kept. */
  readonly onTime: Share;
  /** Corrective casts of feet whose first series ended in the period; last casts are not counted. */
  readonly castsPerFoot: CastsPerFoot;
  /** Feet with a tenotomy out of feet whose first series ended in the period. */
  readonly tenotomy: Share;
  /** Told hours by whole years of age, days told in the period. */
  readonly wearByAge: readonly {
    readonly years: number;
    readonly children: number;
    readonly days: number;
    readonly hours: number;
  }[];
  readonly dropout: Dropout;
}

export interface Dropout {
  readonly children: number;
  readonly lost: number;
  readonly inCasting: number;
  readonly afterTenotomy: number;
  readonly inBrace: number;
  /** Share still in care by days since the first cast. */
  readonly curve: readonly SurvivalStep[];
  readonly medianDays: number | null;
}

/**
 * Figures per clinic, and for all clinics under "all". With a quarter, visits, finished feet and told days of that
 * quarter count, and the dropout curve is that of children whose treatment began in it. Pure.
 */
export function programmeFigures(children: readonly ProgrammeChild[], quarter: string | null): Figures[] {
  const clinics = [...new Set(children.map((child) => child.clinic))].sort();
  const own = clinics.map((clinic) =>
    figuresOf(
      clinic,
      children.filter((child) => child.clinic === clinic),
      quarter,
    ),
  );
  return clinics.length > 1 ? [...own, figuresOf('all', children, quarter)] : own;
}

/** "2026-Q1" of a day. */
export function quarterOf(day: Day): string {
  const { year, month } = civilOfDay(day);
  return `${year}-Q${Math.ceil(month / 3)}`;
}

function figuresOf(clinic: string, children: readonly ProgrammeChild[], quarter: string | null): Figures {
  const isIn = (day: Day) => quarter === null || quarterOf(day) === quarter;
  const visits = children.flatMap((child) => planCourse(child.input, child.protocol).visits);
  const over = visits.filter(
    (visit) => visit.status !== 'planned' && visit.status !== 'due' && isIn(dayOf(visit.due)),
  );
  const kept = over.filter((visit) => visit.status === 'kept');
  const onTime = kept.filter((visit) => visit.keptOn !== undefined && visit.keptOn <= visit.windowTo);
  const feet = children.flatMap((child) => finishedFeet(child, isIn));
  const followed = children.flatMap((child) => {
    const found = followUp(child.input, child.protocol);
    return found !== null && isIn(found.from) ? [found] : [];
  });
  return {
    clinic,
    quarter,
    children: children.length,
    attendance: shareOf(kept.length, over.length),
    onTime: shareOf(onTime.length, kept.length),
    castsPerFoot: castsPerFoot(feet.map((foot) => foot.casts)),
    tenotomy: shareOf(feet.filter((foot) => foot.hasTenotomy).length, feet.length),
    wearByAge: wearByAge(children, isIn),
    dropout: dropoutOf(followed),
  };
}

/** Feet whose first series of casts is over: the last cast came off, or a brace is on. */
function finishedFeet(
  { input }: ProgrammeChild,
  isIn: (day: Day) => boolean,
): { casts: number; hasTenotomy: boolean }[] {
  const { feet } = tellHistory(input.child, input.events);
  return feet.flatMap((foot) => {
    const first = foot.casts.filter((cast) => cast.series === 1);
    const isOver = foot.series > 1 || foot.stage === 'brace' || foot.stage === 'out';
    const last = first.at(-1);
    if (last === undefined || !isOver || !isIn(last.day)) return [];
    const corrective = first.filter((cast) => !cast.isLast);
    return [{ casts: corrective.length, hasTenotomy: corrective.length < first.length }];
  });
}

function castsPerFoot(counts: readonly number[]): CastsPerFoot {
  const feet = counts.length;
  if (feet === 0) return { feet, mean: null, standardDeviation: null, least: null, most: null };
  const mean = counts.reduce((sum, count) => sum + count, 0) / feet;
  const squares = counts.reduce((sum, count) => sum + (count - mean) ** 2, 0);
  const standardDeviation = feet > 1 ? Math.sqrt(squares / (feet - 1)) : null;
  return { feet, mean, standardDeviation, least: Math.min(...counts), most: Math.max(...counts) };
}

function wearByAge(children: readonly ProgrammeChild[], isIn: (day: Day) => boolean): Figures['wearByAge'] {
  const byYear = new Map<number, { children: Set<string>; hours: number[] }>();
  for (const { input, wear } of children)
    for (const told of wear) {
      const day = dayOf(told.date);
      if (!isIn(day)) continue;
      const years = Math.floor(monthsBetween(dayOf(input.child.born), day) / 12);
      const group = byYear.get(years) ?? { children: new Set(), hours: [] };
      group.children.add(input.child.id);
      group.hours.push(middle(told));
      byYear.set(years, group);
    }
  return [...byYear]
    .sort(([a], [b]) => a - b)
    .map(([years, group]) => ({
      years,
      children: group.children.size,
      days: group.hours.length,
      hours: group.hours.reduce((sum, hours) => sum + hours, 0) / group.hours.length,
    }));
}

function dropoutOf(followed: readonly FollowUp[]): Dropout {
  const observed: Observed[] = followed.map((one) => ({ time: one.to - one.from, isEvent: one.isDropout }));
  const curve = kaplanMeier(observed);
  const lostIn = (stage: FollowUp['stage']) =>
    followed.filter((one) => one.isDropout && one.stage === stage).length;
  return {
    children: followed.length,
    lost: followed.filter((one) => one.isDropout).length,
    inCasting: lostIn('cast'),
    afterTenotomy: lostIn('tenotomy'),
    inBrace: lostIn('brace'),
    curve,
    medianDays: medianTime(curve),
  };
}
