import type { Course } from '../../../core/course/course.js';
import type { ChildId } from '../../../core/model/ids.js';
import { childRecords } from '../../../store/child-records.js';
import type { ClinicHoursChange } from '../../../store/clinic-hours.js';
import type { ChildRecord } from '../../../store/course-record.js';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { courseOf } from '../../parts/course-of.js';
import { localDate } from '../../times.js';

export interface MovedVisit {
  readonly childId: string;
  readonly name: string;
  readonly before: string | null;
  readonly after: string | null;
}

export interface Moved {
  readonly children: number;
  readonly moved: readonly MovedVisit[];
  /** More children than are computed before saving. */
  readonly isCut: boolean;
}

const MOST = 1_000;
const BATCH = 200;

/** Whose next visit would move, and from when to when, if the clinic's days or protocol were changed so. */
export async function movedVisits(ask: Ask, clinic: ClinicRow, change: ClinicHoursChange): Promise<Moved> {
  const rows = await ask.deps.views.children({
    clinicId: clinic.id,
    find: '',
    phase: null,
    isOverdue: false,
    offset: 0,
    limit: MOST + 1,
  });
  const names = new Map(rows.slice(0, MOST).map((row) => [row.child.id, row.child.name]));
  const ids = [...names.keys()];
  const today = localDate(ask.now, clinic.timeZone);
  const moved: MovedVisit[] = [];
  for (let i = 0; i < ids.length; i += BATCH) {
    const records = await childRecords(ask.deps.store, ids.slice(i, i + BATCH) as ChildId[]);
    for (const { id, record } of records) {
      const before = nextDue(ask, record, today);
      const after = nextDue(ask, changed(record, change), today);
      if (before !== after) moved.push({ childId: id, name: names.get(id) ?? '', before, after });
    }
  }
  return { children: ids.length, moved, isCut: rows.length > MOST };
}

function changed(record: ChildRecord, change: ClinicHoursChange): ChildRecord {
  return {
    ...record,
    protocol: change.isForAll ? change.protocol : record.protocol,
    clinic: {
      ...record.clinic,
      clinicDays: change.clinicDays,
      holidays: change.closures,
      sendingFrom: change.sendingFrom,
      sendingTo: change.sendingTo,
    },
  };
}

function nextDue(ask: Ask, record: ChildRecord, today: string): string | null {
  const made = courseOf(record, today, ask.deps.protocols);
  return made.kind === 'course' ? (nextVisit(made.course)?.due ?? null) : null;
}

function nextVisit(course: Course) {
  return course.visits.find((visit) => visit.status !== 'kept' && visit.status !== 'missed');
}
