import type { Store } from './store.js';

/**
 * Runs the work in one transaction: all of it is kept or none. Inside a transaction it joins the one that is open,
 * so that methods of several aggregates compose into one change with one audit trail and one set of texts.
 */
export async function inTransaction<Result>(
  store: Store,
  work: (tx: Store) => Promise<Result>,
): Promise<Result> {
  if (store.db.isTransaction) return work(store);
  return store.db.transaction().execute((db) => work({ db, newId: store.newId }));
}
