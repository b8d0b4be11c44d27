import type { CourseEvent } from '../model/course-events.js';
import type { InputFault } from './faults.js';
import { fault, type Placed, type SoFar } from './so-far.js';
import { wasSeenHere } from './visits.js';

/** Visits and missed visits that contradict what else is recorded. */
export function visitFaults(
  soFar: SoFar,
  { event, path, today }: Placed<Extract<CourseEvent, { type: 'visit' | 'missed' }>>,
): InputFault[] {
  const faults: InputFault[] = [];
  if (event.type === 'missed' && wasSeenHere(today))
    faults.push(
      fault(
        path,
        `a missed visit on ${event.date}`,
        'no other care here on that day: a child who was seen did not miss',
      ),
    );
  const same = today.filter(
    (other) =>
      (other.type === 'visit' || other.type === 'missed') &&
      other.type === event.type &&
      other.kind === event.kind,
  );
  if (same.length > 1 && same.indexOf(event) > 0)
    faults.push(
      fault(path, `a second ${event.type} event of one kind on ${event.date}`, 'one a day and kind'),
    );
  const wasCast = soFar.feet.some((foot) => foot.lastNumber > 0 && foot.lastCastDay !== null);
  const castToday = today.some((other) => other.type === 'cast');
  if (event.kind === 'first-visit') {
    if (wasCast && !castToday)
      faults.push(fault(`${path}.kind`, 'first-visit', 'another kind: casts had begun before that day'));
    if (event.type === 'visit' && soFar.hasFirstVisit)
      faults.push(fault(`${path}.kind`, 'first-visit', 'one first visit'));
    if (event.type === 'visit') soFar.hasFirstVisit = true;
  }
  const hadBrace = soFar.feet.some((foot) => foot.lastFitting !== null || foot.castOff !== null);
  if (event.kind === 'brace-check' && !hadBrace && !soFar.hasHistoryElsewhere)
    faults.push(fault(`${path}.kind`, 'brace-check', 'another kind: no brace was fitted before that day'));
  const isInCast = soFar.feet.some((foot) => foot.castOn !== null);
  if (event.kind === 'cast-removal' && !isInCast && !today.some((other) => other.type === 'cast-removed'))
    faults.push(fault(`${path}.kind`, 'cast-removal', 'another kind: no cast was on that day'));
  return faults;
}
