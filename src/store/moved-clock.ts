import type { Store } from './store.js';

/**
 * How far a demonstration has moved its clock, in ms; 0 where nobody moved it. Every process adds it to the machine's
 * time, so that web and workers live at the same instant.
 */
export async function movedBy(store: Store): Promise<number> {
  const row = await store.db.selectFrom('moved_clock').select('shift_ms').executeTakeFirst();
  return row?.shift_ms ?? 0;
}

/** Sets how far the clock is moved, in ms. */
export async function moveClock(store: Store, shiftMs: number): Promise<void> {
  await store.db
    .insertInto('moved_clock')
    .values({ shift_ms: shiftMs })
    .onConflict((conflict) => conflict.column('only_row').doUpdateSet({ shift_ms: shiftMs }))
    .execute();
}
