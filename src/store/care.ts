import type { TextOutId } from '../core/model/ids.js';
import { at, type Store } from './store.js';
import type { TextOutRow } from './tables.js';

/** Texts that failed or whose fate stayed open, locked; others who look at the same time take others. */
export async function lockTextsNeedingCare(tx: Store, limit: number): Promise<readonly TextOutRow[]> {
  return tx.db
    .selectFrom('text_out')
    .selectAll()
    .where('needs_care', '=', true)
    .orderBy('state_at')
    .limit(limit)
    .forUpdate()
    .skipLocked()
    .execute();
}

/** Seen to: nothing more is to be done about this text by itself. */
export async function caredFor(tx: Store, id: TextOutId): Promise<void> {
  await tx.db.updateTable('text_out').set({ needs_care: false }).where('id', '=', id).execute();
}

/** Sends a text that surely failed again at an instant (ms). */
export async function sendAgain(tx: Store, id: TextOutId, nextTryAt: number, now: number): Promise<void> {
  await tx.db
    .updateTable('text_out')
    .set({ state: 'queued', needs_care: false, failure: null, next_try_at: at(nextTryAt), state_at: at(now) })
    .where('id', '=', id)
    .execute();
  await tx.db
    .insertInto('text_out_step')
    .values({
      text_out_id: id,
      state: 'queued',
      at: at(now),
      detail: 'tried again: the phone may be reachable later',
    })
    .execute();
}

/** Safety texts that have waited since before `before` (ms) without any gateway taking them. */
export async function stuckSafetyTexts(
  store: Store,
  before: number,
  limit: number,
): Promise<readonly TextOutRow[]> {
  return store.db
    .selectFrom('text_out')
    .selectAll()
    .where('state', 'in', ['planned', 'queued'])
    .where('lane', '=', 'safety')
    .where('created_at', '<', at(before))
    .where('not_before', '<', at(before))
    .orderBy('created_at')
    .limit(limit)
    .execute();
}
