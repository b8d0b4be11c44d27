import type { FlagId } from '../core/model/ids.js';
import type { Store } from './store.js';
import type { FlagRow } from './tables.js';

/** Closed flags whose family has not been told what became of it, oldest first. */
export async function flagsToTell(store: Store, limit: number): Promise<readonly FlagRow[]> {
  return store.db
    .selectFrom('flag')
    .selectAll()
    .where('is_family_to_be_told', '=', true)
    .orderBy('closed_at')
    .limit(limit)
    .execute();
}

/** Takes the mark off; false: somebody else has told the family meanwhile. */
export async function markTold(tx: Store, id: FlagId): Promise<boolean> {
  const changed = await tx.db
    .updateTable('flag')
    .set({ is_family_to_be_told: false })
    .where('id', '=', id)
    .where('is_family_to_be_told', '=', true)
    .executeTakeFirst();
  return changed.numUpdatedRows > 0n;
}
