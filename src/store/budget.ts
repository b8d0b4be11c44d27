import { sql } from 'kysely';
import type { ClinicId } from '../core/model/ids.js';
import type { Store } from './store.js';

/**
 * Takes so many texts from a clinic's budget of a local day (ISO date), as far as it reaches; `atMost` null counts
 * without a limit (safety texts and answers always go). Returns how many were granted. One statement, so that all
 * workers share one budget exactly; a crash afterwards leaves it counted, never overspent.
 */
export async function takeFromBudget(
  store: Store,
  clinicId: ClinicId,
  day: string,
  wanted: number,
  atMost: number | null,
): Promise<number> {
  await store.db
    .insertInto('sent_on_day')
    .values({ clinic_id: clinicId, on_date: day, texts: 0 })
    .onConflict((conflict) => conflict.doNothing())
    .execute();
  const most = atMost ?? 2_147_483_647;
  const found = await sql<{ granted: number }>`with before as (select texts from sent_on_day
      where clinic_id = ${clinicId} and on_date = ${day} for update)
    update sent_on_day set texts = before.texts + least(${wanted}::int, greatest(0, ${most}::int - before.texts))
      from before where clinic_id = ${clinicId} and on_date = ${day}
      returning sent_on_day.texts - before.texts as granted`.execute(store.db);
  return found.rows[0]?.granted ?? 0;
}

/** Texts a clinic has counted on a local day. */
export async function sentOnDay(store: Store, clinicId: ClinicId, day: string): Promise<number> {
  const row = await store.db
    .selectFrom('sent_on_day')
    .select('texts')
    .where('clinic_id', '=', clinicId)
    .where('on_date', '=', day)
    .executeTakeFirst();
  return row?.texts ?? 0;
}
