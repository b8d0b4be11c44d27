import { sql } from 'kysely';
import type { TextOutId } from '../core/model/ids.js';
import { applyReportsThatCameFirst } from './reports.js';
import { at, type Store } from './store.js';
import { inTransaction } from './transaction.js';

export interface HandOver {
  readonly id: TextOutId;
  readonly gateway: string;
}

/**
 * Commits "handed over" BEFORE the gateway is called, so that a crash leaves a trace of what may have gone out.
 * Returns the ids that are now the caller's to send: of two workers who try, one gets the text.
 */
export async function handOver(
  store: Store,
  texts: readonly HandOver[],
  now: number,
): Promise<ReadonlySet<TextOutId>> {
  return inTransaction(store, async (tx) => {
    const found = await sql<{ id: TextOutId }>`with given as (
        select * from jsonb_to_recordset(${JSON.stringify(texts)}::jsonb) as g (id uuid, gateway text)),
      free as (select id from text_out where id in (select id from given) and state in ('planned', 'queued')
        order by id for update),
      taken as (update text_out set state = 'handed-over', gateway = given.gateway, attempts = attempts + 1,
          state_at = ${at(now)}, handed_over_at = clock_timestamp(), next_try_at = null, error = null
        from given join free using (id)
        where text_out.id = given.id returning text_out.id, text_out.gateway),
      steps as (insert into text_out_step (text_out_id, state, at, detail)
        select id, 'handed-over', ${at(now)}, gateway from taken)
      select id from taken`.execute(tx.db);
    return new Set(found.rows.map((row) => row.id));
  });
}

/** What the gateway answered, or what its silence means for this text. */
export interface Answer {
  readonly id: TextOutId;
  /** `queued`: try again at `nextTryAt`. */
  readonly state: 'accepted' | 'failed' | 'unknown' | 'queued';
  readonly providerId: string | null;
  readonly parts: number | null;
  /** Why it failed, in the gateways' closed list. */
  readonly failure: string | null;
  /** For a person: the provider's code and words. */
  readonly detail: string | null;
  readonly nextTryAt: number | null;
}

/**
 * Records answers. A report that came before the answer has already moved the text on: then only the provider's id is
 * added, and whatever reports were waiting for that id are applied.
 */
export async function recordAnswers(store: Store, answers: readonly Answer[], now: number): Promise<void> {
  if (answers.length === 0) return;
  const rows = answers.map((answer) => ({
    id: answer.id,
    state: answer.state,
    provider_id: answer.providerId,
    parts: answer.parts,
    failure: answer.failure,
    detail: answer.detail,
    next_try_at: answer.nextTryAt === null ? null : at(answer.nextTryAt),
  }));
  await inTransaction(store, async (tx) => {
    await sql`with answer as (select * from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as a (id uuid,
        state text, provider_id text, parts integer, failure text, detail text, next_try_at timestamptz)),
      mine as (select id from text_out where id in (select id from answer) order by id for update),
      noted as (update text_out t set
          state = case when t.state = 'handed-over' then a.state else t.state end,
          state_at = case when t.state = 'handed-over' then ${at(now)} else t.state_at end,
          provider_id = coalesce(a.provider_id, t.provider_id),
          parts = coalesce(a.parts, t.parts),
          next_try_at = case when t.state = 'handed-over' then a.next_try_at else t.next_try_at end,
          error = case when t.state = 'handed-over' then a.detail else t.error end,
          failure = case when t.state = 'handed-over' then a.failure else t.failure end,
          needs_care = t.needs_care or (t.state = 'handed-over'
            and (a.state in ('failed', 'unknown') or coalesce(a.failure, '') in ('out-of-credit', 'not-allowed')))
        from answer a join mine using (id) where t.id = a.id
        returning t.id)
      insert into text_out_step (text_out_id, state, at, detail)
        select a.id, a.state, ${at(now)}, a.detail from answer a join noted using (id)`.execute(tx.db);
    const accepted = answers.filter(({ providerId }) => providerId !== null);
    await applyReportsThatCameFirst(
      tx,
      accepted.map(({ id }) => id),
      now,
    );
  });
}
