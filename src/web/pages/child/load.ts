import type { Course } from '../../../core/course/course.js';
import type { ChildId, ClinicId, StaffId } from '../../../core/model/ids.js';
import { writeAudit } from '../../../store/audit.js';
import { childRecords } from '../../../store/child-records.js';
import type { ChildRecord } from '../../../store/course-record.js';
import type { ChildPageRow } from '../../../store/views/types.js';
import { isId } from '../../form.js';
import type { Ask } from '../../page.js';
import { courseOf } from '../../parts/course-of.js';
import { localDate } from '../../times.js';

/** A child as a page needs it, within the clinic of whoever asks. */
export interface LoadedChild {
  readonly row: ChildPageRow;
  readonly record: ChildRecord;
  /** Null when the record contradicts itself; then `faults` says how. */
  readonly course: Course | null;
  readonly faults: readonly string[];
  /** Local date at the clinic. */
  readonly today: string;
}

/** Loads the child of this address and writes down that it was looked at; null: no such child for this person. */
export async function loadChild(ask: Ask, action: string): Promise<LoadedChild | null> {
  const id = ask.params.id ?? '';
  if (!isId(id)) return null;
  const row = await ask.deps.views.childPage({ id, clinicId: ask.clinicId });
  if (row === null) return null;
  const [[found]] = await Promise.all([
    childRecords(ask.deps.store, [id as ChildId]),
    writeAudit(ask.deps.store, {
      at: ask.now,
      actor: ask.staff.id as StaffId,
      action,
      subject: `child:${id}`,
      clinicId: row.clinicId as ClinicId,
    }),
  ]);
  if (found === undefined) return null;
  const today = localDate(ask.now, row.timeZone);
  const made = courseOf(found.record, today, ask.deps.protocols);
  return {
    row,
    record: found.record,
    course: made.kind === 'course' ? made.course : null,
    faults: made.kind === 'course' ? [] : made.faults,
    today,
  };
}
