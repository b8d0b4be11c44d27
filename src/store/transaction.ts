import type { Store } from './store.js';

/** PostgreSQL undid one of two that waited for each other, or could not put them in any order: nothing happened. */
const UNDONE = new Set(['40P01', '40001']);
const TRIES = 5;

/**
 * Runs the work in one transaction: all of it is kept or none. Inside a transaction it joins the one that is open,
 * so that methods of several aggregates compose into one change with one audit trail and one set of texts. When
 * PostgreSQL undoes it because another was in its way, the whole work runs again: it must touch nothing but the record.
 */
export async function inTransaction<Result>(
  store: Store,
  work: (tx: Store) => Promise<Result>,
): Promise<Result> {
  if (store.db.isTransaction) return work(store);
  for (let tries = 1; ; tries++) {
    try {
      return await store.db.transaction().execute((db) => work({ db, newId: store.newId }));
    } catch (error) {
      const { code } = error as { code?: unknown };
      if (typeof code !== 'string' || !UNDONE.has(code) || tries === TRIES) throw error;
    }
  }
}
