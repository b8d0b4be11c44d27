import type { CourseEvent } from '../model/course-events.js';
import { isoOf } from '../time/calendar-days.js';
import type { InputFault } from './faults.js';
import { feetOf } from './history.js';
import { type FootSoFar, fault, type Placed, type SoFar } from './so-far.js';

type CastEvent = Extract<CourseEvent, { type: 'cast' }>;

/** Casts: one a day and foot, numbered without a gap, from 1 on or from 1 again when a foot is recast after its brace. */
export function castFaults(soFar: SoFar, { event, day, path }: Placed<CastEvent>): InputFault[] {
  const named = soFar.feet.filter((foot) => feetOf(event, soFar.child.feet).includes(foot.foot));
  const faults: InputFault[] = [];
  const twice = named.filter((foot) => foot.lastCastDay === day);
  for (const foot of twice)
    faults.push(
      fault(path, `a second cast on the ${foot.foot} foot on ${event.date}`, 'one cast a foot and day'),
    );
  if (twice.length === 0) faults.push(...numberFaults(soFar, named, event, path));
  for (const foot of named) {
    if (foot.isInBrace) {
      foot.castsInSeries = 0;
      foot.tenotomy = null;
      foot.isInBrace = false;
    }
    foot.castOn = day;
    foot.lastCastDay = day;
    foot.lastNumber = event.number;
    foot.castsInSeries += 1;
  }
  return faults;
}

function numberFaults(
  soFar: SoFar,
  named: readonly FootSoFar[],
  event: CastEvent,
  path: string,
): InputFault[] {
  const at = `${path}.number`;
  const found = String(event.number);
  if (named.every((foot) => foot.lastNumber === 0 && soFar.hasHistoryElsewhere)) return [];
  const isAllowed = (foot: FootSoFar) =>
    event.number === foot.lastNumber + 1 || (foot.isInBrace && event.number === 1);
  const behind = named.filter((foot) => event.number <= foot.lastNumber && !isAllowed(foot));
  if (behind.length > 0)
    return behind.map((foot) =>
      fault(
        at,
        found,
        `${foot.lastNumber + 1}: the ${foot.foot} foot had cast ${foot.lastNumber} on ${isoOf(foot.lastCastDay ?? 0)}`,
      ),
    );
  if (named.some(isAllowed)) return [];
  const last = Math.max(...named.map((foot) => foot.lastNumber));
  return [
    fault(
      at,
      found,
      last === 0
        ? '1 for the first cast, or a "transferred-in" event before it when earlier casts were put on elsewhere'
        : `${last + 1}: cast ${last + 1} is not recorded`,
    ),
  ];
}

/** A tenotomy needs casts before it and the last cast on the same day, and is done once a course. */
export function tenotomyFaults(
  soFar: SoFar,
  { event, day, path, today }: Placed<Extract<CourseEvent, { type: 'tenotomy' }>>,
): InputFault[] {
  const lastCasts = today
    .filter((other) => other.type === 'cast')
    .flatMap((cast) => feetOf(cast, soFar.child.feet));
  if (lastCasts.length === 0)
    return [
      fault(
        path,
        `a tenotomy on ${event.date} without a cast`,
        'the last cast as its own "cast" event on the same day',
      ),
    ];
  const faults: InputFault[] = [];
  const named = soFar.feet.filter((foot) => (event.feet ?? lastCasts).includes(foot.foot));
  for (const foot of named) {
    if (!lastCasts.includes(foot.foot))
      faults.push(
        fault(
          path,
          `a tenotomy of the ${foot.foot} foot on ${event.date}`,
          `a "cast" event of the ${foot.foot} foot on the same day`,
        ),
      );
    if (foot.castsInSeries === 0 && !soFar.hasHistoryElsewhere)
      faults.push(
        fault(path, `a tenotomy of the ${foot.foot} foot on ${event.date}`, 'corrective casts before it'),
      );
    if (foot.tenotomy !== null && !foot.isInBrace)
      faults.push(
        fault(
          path,
          `a second tenotomy of the ${foot.foot} foot`,
          `one a course; the first is on ${isoOf(foot.tenotomy)}`,
        ),
      );
    foot.tenotomy = day;
  }
  return faults;
}

/** A cast can only come off a foot that wears one, and not on the day it went on. */
export function removalFaults(
  soFar: SoFar,
  { event, day, path }: Placed<Extract<CourseEvent, { type: 'cast-removed' }>>,
): InputFault[] {
  const named = soFar.feet.filter((foot) => feetOf(event, soFar.child.feet).includes(foot.foot));
  const worn = named.filter((foot) => foot.castOn !== null);
  const missing =
    event.feet === undefined
      ? worn.length === 0
        ? named
        : []
      : named.filter((foot) => foot.castOn === null);
  for (const foot of worn) {
    foot.castOn = null;
    foot.castOff = day;
  }
  if (
    missing.length === 0 ||
    (worn.length === 0 && soFar.hasHistoryElsewhere && named.every((foot) => foot.castsInSeries === 0))
  )
    return [];
  return missing.map((foot) => {
    const last = foot.castOff === null ? '' : ` (its last cast came off on ${isoOf(foot.castOff)})`;
    return fault(
      path,
      `a cast taken off on ${event.date}`,
      `a cast on the ${foot.foot} foot that day${last}`,
    );
  });
}

/** Only a cast that is on can slip. */
export function slipFaults(soFar: SoFar, { event, day, path, today }: Placed): InputFault[] {
  const named = soFar.feet.filter((foot) => feetOf(event, soFar.child.feet).includes(foot.foot));
  const isOn = named.some((foot) => foot.castOn !== null || foot.castOff === day);
  if (isOn || today.some((other) => other.type === 'cast') || soFar.hasHistoryElsewhere) return [];
  return [fault(path, `a cast that slipped on ${event.date}`, 'a cast on that day')];
}
