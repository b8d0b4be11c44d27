import { sql } from 'kysely';
import type { TextOutId } from '../core/model/ids.js';
import type { Promised } from '../core/model/texts.js';
import { at, type Store } from './store.js';

/** A text that was handed over and whose fate nobody knows. */
export interface Unsettled {
  readonly id: TextOutId;
  readonly gateway: string;
  readonly promised: Promised;
  readonly attempts: number;
  readonly to: string;
  readonly body: string;
  /** Instants (ms); hand-over by the database's clock, expiry by toeline's. */
  readonly handedOverAt: number;
  readonly expiresAt: number | null;
}

/**
 * Texts handed over longer ago than `afterMs` without an answer: the worker died, or the gateway never said. Measured
 * by the database's own clock, so that neither a moved clock nor a worker's wrong one makes a live hand-over look old.
 */
export async function unsettledTexts(
  store: Store,
  afterMs: number,
  limit: number,
): Promise<readonly Unsettled[]> {
  const rows = await store.db
    .selectFrom('text_out')
    .select(['id', 'gateway', 'promised', 'attempts', 'to_number', 'body', 'handed_over_at', 'expires_at'])
    .where('state', '=', 'handed-over')
    .where(sql<boolean>`handed_over_at < clock_timestamp() - ${afterMs} * interval '1 millisecond'`)
    .orderBy('handed_over_at')
    .limit(limit)
    .execute();
  return rows.map((row) => ({
    id: row.id,
    gateway: row.gateway ?? '',
    promised: row.promised,
    attempts: row.attempts,
    to: row.to_number,
    body: row.body,
    handedOverAt: row.handed_over_at?.getTime() ?? 0,
    expiresAt: row.expires_at?.getTime() ?? null,
  }));
}

/** Adds what is known of an open hand-over to its ledger; its state stays. */
export async function noteUnanswered(
  store: Store,
  texts: readonly { readonly id: TextOutId; readonly words: string }[],
  now: number,
): Promise<void> {
  await sql`with said as (select * from jsonb_to_recordset(${JSON.stringify(texts)}::jsonb) as s (id uuid, words text)),
    noted as (update text_out set error = said.words from said
      where text_out.id = said.id and text_out.state = 'handed-over' returning text_out.id, said.words)
    insert into text_out_step (text_out_id, state, at, detail)
      select id, 'handed-over', ${at(now)}, words from noted`.execute(store.db);
}
