import type { CourseChild, CourseEvent, Foot } from '../model/course-events.js';
import { isoOf } from '../time/calendar-days.js';
import { castFaults, removalFaults, slipFaults, tenotomyFaults } from './cast-faults.js';
import type { InputFault } from './faults.js';
import { feetOf, inOrder } from './history.js';
import { type FootSoFar, fault, type Placed, type SoFar } from './so-far.js';
import { visitFaults } from './visit-faults.js';

/**
 * Events that cannot have followed each other: a brace over a cast, a tenotomy without one, two casts on one foot
 * on one day, care after discharge. Events may be given in any order; paths name their place as given. Pure.
 */
export function sequenceFaults(child: CourseChild, events: readonly CourseEvent[]): InputFault[] {
  const soFar: SoFar = {
    child,
    feet: child.feet.map(
      (foot): FootSoFar => ({
        foot,
        castOn: null,
        lastCastDay: null,
        lastNumber: 0,
        castsInSeries: 0,
        tenotomy: null,
        castOff: null,
        isInBrace: false,
        lastFitting: null,
      }),
    ),
    // Also when the transfer was entered after what was done elsewhere.
    hasHistoryElsewhere: events.some((event) => event.type === 'transferred-in'),
    leftOn: null,
    hasFirstVisit: false,
  };
  const faults: InputFault[] = [];
  const ordered = inOrder(events);
  for (const { event, day, index } of ordered) {
    const today = ordered.filter((other) => other.day === day).map((other) => other.event);
    const placed = { event, day, path: `events[${index}]`, today };
    faults.push(
      ...untreatedFeet(child, placed),
      ...leavingFaults(soFar, placed),
      ...eventFaults(soFar, placed),
    );
  }
  return faults;
}

function eventFaults(soFar: SoFar, placed: Placed): InputFault[] {
  const { event } = placed;
  switch (event.type) {
    case 'cast':
      return castFaults(soFar, { ...placed, event });
    case 'tenotomy':
      return tenotomyFaults(soFar, { ...placed, event });
    case 'cast-removed':
      return removalFaults(soFar, { ...placed, event });
    case 'brace':
      return braceFaults(soFar, { ...placed, event });
    case 'visit':
    case 'missed':
      return visitFaults(soFar, { ...placed, event });
    case 'slipped':
      return slipFaults(soFar, placed);
    case 'relapse':
      return relapseFaults(soFar, placed);
    default:
      return [];
  }
}

/** Feet named by an event that are not in treatment. */
function untreatedFeet(child: CourseChild, { event, path }: Placed): InputFault[] {
  if (!('feet' in event) || event.feet === undefined) return [];
  const expected = `a treated foot (child.feet is ${child.feet.join(', ')})`;
  if (Array.isArray(event.feet))
    return event.feet.flatMap((foot, i) =>
      child.feet.includes(foot) ? [] : [fault(`${path}.feet[${i}]`, foot, expected)],
    );
  return Object.keys(event.feet).flatMap((foot) =>
    child.feet.includes(foot as Foot) ? [] : [fault(`${path}.feet.${foot}`, foot, expected)],
  );
}

/** Discharge, transfer, coming back, and anything between leaving and coming back. */
function leavingFaults(soFar: SoFar, { event, day, path, today }: Placed): InputFault[] {
  if (event.type === 'readmitted' || (event.type === 'transferred-in' && soFar.leftOn !== null)) {
    const wasGone = soFar.leftOn !== null;
    soFar.leftOn = null;
    return wasGone ? [] : [fault(path, 'readmitted', 'a discharge or transfer before it')];
  }
  if (soFar.leftOn !== null)
    return [
      fault(
        path,
        `${event.type} on ${event.date}`,
        `nothing after the child left on ${isoOf(soFar.leftOn)}, or a "readmitted" event before it`,
      ),
    ];
  if (event.type !== 'discharged' && event.type !== 'transferred-out') return [];
  soFar.leftOn = day;
  if (event.type === 'transferred-out') return [];
  return soFar.feet
    .filter((foot) => foot.castOn !== null)
    .map((foot) =>
      fault(
        path,
        `discharged with a cast on the ${foot.foot} foot since ${isoOf(foot.castOn ?? 0)}`,
        today.length > 1
          ? 'the cast taken off that day or before'
          : 'a "cast-removed" event before it, or "transferred-out"',
      ),
    );
}

function braceFaults(
  soFar: SoFar,
  { event, day, path }: Placed<Extract<CourseEvent, { type: 'brace' }>>,
): InputFault[] {
  const named = soFar.feet.filter((foot) => feetOf(event, soFar.child.feet).includes(foot.foot));
  const faults: InputFault[] = [];
  for (const foot of named)
    if (foot.castOn !== null)
      faults.push(
        fault(
          path,
          `a brace on ${event.date}`,
          `the cast put on the ${foot.foot} foot on ${isoOf(foot.castOn)} to come off first ("cast-removed")`,
        ),
      );
  const wereCast = named.some((foot) => foot.castsInSeries > 0);
  if (!wereCast && !soFar.hasHistoryElsewhere)
    faults.push(
      fault(
        path,
        `a brace on ${event.date}`,
        'casts before it, or a "transferred-in" event when they were put on elsewhere',
      ),
    );
  if (named.some((foot) => foot.lastFitting === day))
    faults.push(fault(path, `a second brace on ${event.date}`, 'one brace event a day'));
  for (const foot of named)
    if (foot.castOn === null) {
      foot.isInBrace = true;
      foot.lastFitting = day;
    }
  return faults;
}

function relapseFaults(soFar: SoFar, { event, path }: Placed): InputFault[] {
  const named = soFar.feet.filter((foot) => feetOf(event, soFar.child.feet).includes(foot.foot));
  if (soFar.hasHistoryElsewhere || named.some((foot) => foot.castsInSeries > 0)) return [];
  return [
    fault(path, `a relapse on ${event.date}`, 'casts before it: a foot not yet corrected cannot relapse'),
  ];
}
