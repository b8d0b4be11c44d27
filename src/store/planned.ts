import { sql } from 'kysely';
import type { ChildId, ClinicId, GuardianId, PlannedTextId } from '../core/model/ids.js';
import type { CourseTextKind } from '../core/model/texts.js';
import type { PlanCourse } from './course-record.js';
import { replanChildren } from './replan.js';
import { at, type Store } from './store.js';
import type { PlannedTextRow } from './tables.js';
import { inTransaction } from './transaction.js';

export interface Horizon {
  readonly now: number;
  /** How far the new plan reaches from now, in ms. */
  readonly aheadMs: number;
  readonly plan: PlanCourse;
  /** Children at most in this transaction. */
  readonly limit: number;
}

/**
 * Plans the children whose time to be looked at again has come (see {@link replanChildren}), so many in one
 * transaction; others who plan at the same time take other children. Returns how many it planned: fewer than the limit means none are left.
 */
export async function planNextChildren(store: Store, horizon: Horizon): Promise<number> {
  return inTransaction(store, async (tx) => {
    const rows = await tx.db
      .selectFrom('child')
      .select('id')
      .where('is_texting_stopped', '=', false)
      .where('phase', '<>', 'discharged')
      .where('planned_until', '<=', at(horizon.now))
      .orderBy('planned_until')
      .orderBy('id')
      .limit(horizon.limit)
      .forNoKeyUpdate()
      .skipLocked()
      .execute();
    if (rows.length === 0) return 0;
    const { now, plan, aheadMs } = horizon;
    await replanChildren(
      tx,
      rows.map((row): ChildId => row.id),
      { now, plan, aheadMs },
    );
    return rows.length;
  });
}

/** Where a walk through due rows goes on: rows sort by (instant, id). */
export interface DueCursor {
  readonly at: number;
  readonly id: string;
}

export interface Due {
  readonly id: PlannedTextId;
  readonly at: number;
}

/** Planned texts due before `before` (ms), earliest first, after the cursor. */
export async function plannedDue(
  store: Store,
  before: number,
  after: DueCursor | null,
  limit: number,
): Promise<readonly Due[]> {
  let query = store.db
    .selectFrom('planned_text')
    .select(['id', 'due_at'])
    .where('state', '=', 'planned')
    .where('due_at', '<', at(before))
    .orderBy('due_at')
    .orderBy('id')
    .limit(limit);
  if (after !== null) query = query.where(sql<boolean>`(due_at, id) > (${at(after.at)}, ${after.id}::uuid)`);
  const rows = await query.execute();
  return rows.map((row) => ({ id: row.id, at: row.due_at.getTime() }));
}

/** Locks the planned texts of these ids that are still to be sent. */
export async function lockPlanned(
  tx: Store,
  ids: readonly PlannedTextId[],
): Promise<readonly (PlannedTextRow & { readonly is_child_stopped: boolean })[]> {
  return tx.db
    .selectFrom('planned_text')
    .innerJoin('child', 'child.id', 'planned_text.child_id')
    .selectAll('planned_text')
    .select('child.is_texting_stopped as is_child_stopped')
    .where('planned_text.id', 'in', ids)
    .where('planned_text.state', '=', 'planned')
    .orderBy('planned_text.id')
    .forUpdate(['planned_text'])
    .execute();
}

/** Locks a planned text in whatever state it is. */
export async function lockAnyPlanned(tx: Store, id: PlannedTextId): Promise<PlannedTextRow | undefined> {
  const query = tx.db.selectFrom('planned_text').selectAll().where('id', '=', id);
  return query.forUpdate().executeTakeFirst();
}

/** Notes why a planned text could not be sent yet. */
export async function notePlanned(store: Store, id: PlannedTextId, note: string): Promise<void> {
  await store.db
    .updateTable('planned_text')
    .set({ note })
    .where('id', '=', id)
    .where('state', '=', 'planned')
    .execute();
}

export async function settlePlanned(
  tx: Store,
  ids: readonly PlannedTextId[],
  state: 'sent' | 'dropped' | 'withdrawn',
  note: string | null,
): Promise<void> {
  if (ids.length === 0) return;
  await tx.db
    .updateTable('planned_text')
    .set({ state, note })
    .where('id', 'in', ids)
    .where('state', '=', 'planned')
    .execute();
}

/** A text to be sent soon beside the course: to another guardian, or because a conversation asked for it. */
export async function planText(
  store: Store,
  text: {
    readonly clinicId: ClinicId;
    readonly childId: ChildId;
    readonly guardianId: GuardianId;
    readonly kind: CourseTextKind;
    readonly forWhat: string;
    readonly dueAt: number;
    readonly expiresAt: number;
  },
): Promise<PlannedTextId | null> {
  const row = await store.db
    .insertInto('planned_text')
    .values({
      id: store.newId<PlannedTextId>(),
      clinic_id: text.clinicId,
      child_id: text.childId,
      guardian_id: text.guardianId,
      kind: text.kind,
      for_what: text.forWhat,
      due_at: at(text.dueAt),
      expires_at: at(text.expiresAt),
      is_from_course: false,
    })
    .onConflict((conflict) => conflict.doNothing())
    .returning('id')
    .executeTakeFirst();
  return row?.id ?? null;
}
