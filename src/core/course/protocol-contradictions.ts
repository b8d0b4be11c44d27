import type { Duration } from './duration.js';
import type { Protocol, VisitSeries, WearStep } from './protocol.js';

/** What the shape alone cannot say; each fault has its path in the protocol. Pure. */
export interface ProtocolFault {
  readonly path: readonly (string | number)[];
  readonly found: string;
  readonly expected: string;
}

/** Contradictions between the numbers of a protocol that has the right shape. */
export function contradictions(protocol: Protocol): ProtocolFault[] {
  const faults: ProtocolFault[] = [];
  const fault = (path: (string | number)[], found: unknown, expected: string) =>
    faults.push({ path, found: String(found), expected });
  const { casting: c, lastCast: l, brace: b } = protocol;
  if (c.interval.window.before >= c.interval.days)
    fault(
      ['casting', 'interval', 'window', 'before'],
      c.interval.window.before,
      `less than the interval of ${c.interval.days} days`,
    );
  if (l.stay.window.before >= l.stay.days)
    fault(
      ['lastCast', 'stay', 'window', 'before'],
      l.stay.window.before,
      `less than the stay of ${l.stay.days} days`,
    );
  if (c.castAgeLimit.days < c.interval.days + c.interval.window.after)
    fault(
      ['casting', 'castAgeLimit', 'days'],
      c.castAgeLimit.days,
      `not before the interval's window ends (day ${c.interval.days + c.interval.window.after})`,
    );
  if (l.ageLimit.days < l.stay.days + l.stay.window.after)
    fault(
      ['lastCast', 'ageLimit', 'days'],
      l.ageLimit.days,
      `not before the stay's window ends (day ${l.stay.days + l.stay.window.after})`,
    );
  if (c.expectedCasts.usualFrom > c.expectedCasts.usualTo)
    fault(['casting', 'expectedCasts', 'usualFrom'], c.expectedCasts.usualFrom, 'not above "usualTo"');
  if (c.start.latestDays < c.start.targetDays)
    fault(['casting', 'start', 'latestDays'], c.start.latestDays, 'not below "targetDays"');
  checkSteps(b.steps, fault);
  checkSeries(protocol.visits.series, fault);
  const ages = b.resize.steps.map((step) => ageInMonths(step.untilAge));
  ages.forEach((age, i) => {
    const before = ages[i - 1];
    if (before !== undefined && age <= before)
      fault(['brace', 'resize', 'steps', i, 'untilAge'], age, `an age above ${before} months`);
  });
  return faults;
}

type Report = (path: (string | number)[], found: unknown, expected: string) => void;

function checkSteps(steps: readonly WearStep[], fault: Report): void {
  steps.forEach((step, i) => {
    const ends = [step.lasts, step.untilAge].filter((end) => end !== undefined).length;
    if (ends !== 1)
      fault(['brace', 'steps', i], ends === 0 ? 'neither' : 'both', 'exactly one of "lasts" and "untilAge"');
    const before = steps[i - 1];
    if (before !== undefined && step.hours.to > before.hours.to)
      fault(
        ['brace', 'steps', i, 'hours', 'to'],
        step.hours.to,
        `not more than the step before (${before.hours.to})`,
      );
    if (before?.phase === 'brace-night' && step.phase === 'brace-day')
      fault(['brace', 'steps', i, 'phase'], step.phase, 'brace-night, since the step before is brace-night');
  });
}

function checkSeries(list: readonly VisitSeries[], fault: Report): void {
  list.forEach((visit, i) => {
    const shapes = [visit.after, visit.every, visit.atAge].filter((shape) => shape !== undefined).length;
    if (shapes !== 1)
      fault(
        ['visits', 'series', i],
        shapes === 0 ? 'neither' : 'both',
        'exactly one of "after", "every" and "atAge"',
      );
    if (visit.every !== undefined && visit.untilAge === undefined)
      fault(['visits', 'series', i], 'no "untilAge"', 'an age at which a repeated visit ends');
  });
}

function ageInMonths(age: Duration): number {
  return (
    age.months ??
    (age.years !== undefined ? age.years * 12 : ((age.weeks ?? 0) * 7 + (age.days ?? 0)) / 30.4375)
  );
}
