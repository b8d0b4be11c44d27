import type { ChildId, ClinicId, StaffId } from '../core/model/ids.js';
import { type Actor, writeAudit } from './audit.js';
import type { Change } from './change.js';
import type { CourseEvent } from './course-record.js';
import { replanChildren } from './replan.js';
import { at, type Store } from './store.js';
import { inTransaction } from './transaction.js';

export type { CourseEvent } from './course-record.js';

/** Writes down what happened to a child and plans its texts anew, in one transaction. Returns the event's id. */
export async function recordEvent(
  store: Store,
  childId: ChildId,
  event: CourseEvent,
  change: Change,
): Promise<string> {
  return inTransaction(store, async (tx) => {
    const clinicId = await lockChild(tx, childId);
    const id = await insertCourseEvent(tx, childId, event, change);
    await replanChildren(tx, [childId], change);
    await auditEvent(tx, 'record-event', childId, clinicId, { event: id, type: event.type }, change);
    return id;
  });
}

/** Corrects an event: the wrong one stays in the history and points at the right one. Returns the new event's id. */
export async function replaceEvent(
  store: Store,
  eventId: string,
  event: CourseEvent,
  change: Change,
): Promise<string> {
  return inTransaction(store, async (tx) => {
    const childId = await childOfEvent(tx, eventId);
    const clinicId = await lockChild(tx, childId);
    const id = await insertCourseEvent(tx, childId, event, change);
    await retire(tx, eventId, { replaced_by: id });
    await replanChildren(tx, [childId], change);
    await auditEvent(tx, 'replace-event', childId, clinicId, { event: id, before: eventId }, change);
    return id;
  });
}

/** Takes an event back that never happened; it stays in the history. */
export async function withdrawEvent(store: Store, eventId: string, change: Change): Promise<void> {
  await inTransaction(store, async (tx) => {
    const childId = await childOfEvent(tx, eventId);
    const clinicId = await lockChild(tx, childId);
    await retire(tx, eventId, { is_withdrawn: true });
    await replanChildren(tx, [childId], change);
    await auditEvent(tx, 'withdraw-event', childId, clinicId, { event: eventId }, change);
  });
}

/** The row alone; callers plan the child anew in the same transaction. */
export async function insertCourseEvent(
  tx: Store,
  childId: ChildId,
  event: CourseEvent,
  change: { readonly by: Actor; readonly now: number },
): Promise<string> {
  const id = tx.newId<string>();
  await tx.db
    .insertInto('course_event')
    .values({
      id,
      child_id: childId,
      type: event.type,
      on_date: event.date,
      body: JSON.stringify(event),
      recorded_by: staffOrNull(change.by),
      recorded_at: at(change.now),
    })
    .execute();
  return id;
}

/** One change of a child's events at a time, so that two nurses cannot plan from half of each other's record. */
async function lockChild(tx: Store, childId: ChildId): Promise<ClinicId> {
  const child = await tx.db
    .selectFrom('child')
    .select('clinic_id')
    .where('id', '=', childId)
    .forNoKeyUpdate()
    .executeTakeFirst();
  if (child === undefined) throw new Error(`No child has the id ${childId}.`);
  return child.clinic_id;
}

async function childOfEvent(tx: Store, eventId: string): Promise<ChildId> {
  const event = await tx.db
    .selectFrom('course_event')
    .select('child_id')
    .where('id', '=', eventId)
    .executeTakeFirst();
  if (event === undefined) throw new Error(`No event has the id ${eventId}.`);
  return event.child_id;
}

async function retire(
  tx: Store,
  eventId: string,
  how: { replaced_by: string } | { is_withdrawn: true },
): Promise<void> {
  const changed = await tx.db
    .updateTable('course_event')
    .set(how)
    .where('id', '=', eventId)
    .where('replaced_by', 'is', null)
    .where('is_withdrawn', '=', false)
    .executeTakeFirst();
  if (changed.numUpdatedRows > 0n) return;
  throw new Error('Somebody has already corrected or withdrawn this event: open the child again.');
}

async function auditEvent(
  tx: Store,
  action: string,
  childId: ChildId,
  clinicId: ClinicId,
  detail: Readonly<Record<string, unknown>>,
  change: Change,
): Promise<void> {
  const entry = { at: change.now, actor: change.by, action, subject: `child:${childId}` };
  await writeAudit(tx, { ...entry, detail, clinicId });
}

export function staffOrNull(actor: Actor): StaffId | null {
  return actor === 'family' || actor === 'toeline' ? null : actor;
}
