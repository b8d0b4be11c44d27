import type { CourseVisit } from '../../../core/course/course.js';
import type { Protocol } from '../../../core/course/protocol.js';
import { readForm } from '../../form.js';
import { courseOf } from '../../parts/course-of.js';
import type { LoadedChild } from '../child/load.js';
import { DEEDS, type Deed, readVisit } from './fields.js';

/**
 * What may be recorded today without contradicting the record, each with the next visit the course would propose
 * (null: none). Pure.
 */
export function proposals(
  loaded: LoadedChild,
  castNumber: number,
  protocols: ReadonlyMap<string, Protocol>,
): ReadonlyMap<Deed, CourseVisit | null> {
  const found = new Map<Deed, CourseVisit | null>();
  for (const deed of DEEDS) {
    const form = readForm(new URLSearchParams({ deed, date: loaded.today }).toString());
    const read = readVisit(form, loaded.row.child.feet, castNumber);
    if (!read.isValid) continue;
    const record = { ...loaded.record, events: [...loaded.record.events, ...read.visit.events] };
    const made = courseOf(record, loaded.today, protocols);
    if (made.kind === 'faults') continue;
    const next = made.course.visits.find(
      (visit) => visit.status !== 'kept' && visit.status !== 'missed' && visit.due >= loaded.today,
    );
    found.set(deed, next ?? null);
  }
  return found;
}
