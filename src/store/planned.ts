import { sql } from 'kysely';
import type { ChildId, PlannedTextId } from '../core/model/ids.js';
import type { PlanCourse } from './course-record.js';
import { replanChildren } from './replan.js';
import { at, type Store } from './store.js';
import type { PlannedTextRow } from './tables.js';
import { inTransaction } from './transaction.js';

export interface Horizon {
  readonly now: number;
  /** A child is planned again when its plan ends before this instant (ms). */
  readonly before: number;
  /** How far the new plan reaches from now, in ms. */
  readonly aheadMs: number;
  readonly plan: PlanCourse;
  /** Children at most in this transaction. */
  readonly limit: number;
}

/**
 * Plans the children whose plan runs out, so many in one transaction; others who plan at the same time take other
 * children. Returns how many it planned: fewer than the limit means none are left.
 */
export async function planNextChildren(store: Store, horizon: Horizon): Promise<number> {
  return inTransaction(store, async (tx) => {
    const rows = await tx.db
      .selectFrom('child')
      .select('id')
      .where('is_texting_stopped', '=', false)
      .where('phase', '<>', 'discharged')
      .where('planned_until', '<', at(horizon.before))
      .orderBy('planned_until')
      .orderBy('id')
      .limit(horizon.limit)
      .forUpdate()
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

/** Locks a planned text; undefined when it is no longer to be sent. */
export async function lockPlanned(tx: Store, id: PlannedTextId): Promise<PlannedTextRow | undefined> {
  return tx.db
    .selectFrom('planned_text')
    .selectAll()
    .where('id', '=', id)
    .where('state', '=', 'planned')
    .forUpdate()
    .executeTakeFirst();
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
