import { type RawBuilder, sql } from 'kysely';
import type { TextOutId } from '../core/model/ids.js';
import { kept, readable } from './storable.js';
import { at, type Store } from './store.js';
import { inTransaction } from './transaction.js';

/** What a provider says became of a text, as its gateway passed it on. */
export interface Report {
  readonly providerId: string;
  readonly ourId?: string;
  readonly state: 'accepted' | 'sent' | 'delivered' | 'failed' | 'expired' | 'unknown';
  readonly reason?: string;
  readonly code?: string;
  readonly raw: string;
}

/**
 * How much each state settles, over what text_out may hold: a report moves a text only upwards, so reports may come
 * repeated, late and out of order. `delivered` beats a failure, because a network that saw the phone confirm knows
 * more than one that gave up waiting. An expression of the row, not a joined table: PostgreSQL looks again at the
 * newest row after waiting for a lock, but not at what it was joined to.
 */
function settles(state: RawBuilder<unknown>): RawBuilder<number> {
  return sql<number>`(case ${state} when 'planned' then 0 when 'queued' then 0 when 'handed-over' then 1
    when 'accepted' then 2 when 'sent' then 2 when 'unknown' then 3 when 'expired' then 4 when 'failed' then 5
    when 'delivered' then 6 else 7 end)`;
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

/** Records one report; see {@link recordReports}. */
export async function recordReport(
  store: Store,
  gateway: string,
  report: Report,
  now: number,
): Promise<void> {
  await recordReports(store, [{ gateway, report }], now);
}

/**
 * Records reports as they came and moves the texts they are about. One for a text nobody sent is kept and counted; one
 * that came before the gateway's answer waits for it. Never throws on the content.
 */
export async function recordReports(
  store: Store,
  reports: readonly { readonly gateway: string; readonly report: Report }[],
  now: number,
): Promise<void> {
  const rows = distinct(store, reports);
  if (rows.length === 0) return;
  await inTransaction(store, async (tx) => {
    const found = await sql<{ id: string }>`with said as (
        select * from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r (id uuid, gateway text,
          provider_id text, our_id text, our_uuid uuid, state text, code text, reason text, raw text, times integer))
      insert into delivery_report as d (id, gateway, provider_id, our_id, state, code, reason, raw, received_at,
          times, text_out_id)
      select said.id, said.gateway, said.provider_id, said.our_id, said.state, said.code, said.reason, said.raw,
          ${at(now)}, said.times, coalesce(
            (select t.id from text_out t where t.id = said.our_uuid),
            (select t.id from text_out t where t.gateway = said.gateway and t.provider_id = said.provider_id limit 1))
        from said order by gateway, provider_id, state
      on conflict (gateway, provider_id, state) do update set times = d.times + excluded.times,
        text_out_id = coalesce(d.text_out_id, excluded.text_out_id)
      returning d.id`.execute(tx.db);
    await applyReports(tx, sql`r.id = any(${found.rows.map((row) => row.id)}::uuid[])`, now);
  });
}

/** One row per (gateway, provider id, state): a statement cannot touch a row twice. */
function distinct(store: Store, reports: readonly { readonly gateway: string; readonly report: Report }[]) {
  const rows = new Map<string, ReturnType<typeof rowOf>>();
  for (const { gateway, report } of reports) {
    const key = JSON.stringify([gateway, report.providerId, report.state]);
    const known = rows.get(key);
    if (known === undefined) rows.set(key, rowOf(store, gateway, report));
    else known.times += 1;
  }
  return [...rows.values()];
}

function rowOf(store: Store, gateway: string, report: Report) {
  const ourId = report.ourId === undefined ? null : readable(report.ourId);
  return {
    id: store.newId<string>(),
    gateway,
    provider_id: readable(report.providerId).slice(0, 200),
    our_id: ourId,
    our_uuid: ourId !== null && UUID.test(ourId) ? ourId : null,
    state: report.state,
    code: report.code === undefined ? null : readable(report.code),
    reason: report.reason ?? null,
    raw: kept(report.raw),
    times: 1,
  };
}

/** Applies reports that waited for the provider's id of these texts. The caller has just stored those ids. */
export async function applyReportsThatCameFirst(
  tx: Store,
  ids: readonly TextOutId[],
  now: number,
): Promise<void> {
  if (ids.length === 0) return;
  const found = await sql<{ id: string }>`update delivery_report r set text_out_id = t.id from text_out t
    where t.id = any(${ids}::uuid[]) and r.gateway = t.gateway and r.provider_id = t.provider_id
      and r.text_out_id is null returning r.id`.execute(tx.db);
  if (found.rows.length === 0) return;
  await applyReports(tx, sql`r.id = any(${found.rows.map((row) => row.id)}::uuid[])`, now);
}

/**
 * Matches reports of the last day that crossed with their text's answer, each unseen by the other's transaction.
 * Returns how many found their text.
 */
export async function matchCrossedReports(store: Store, now: number): Promise<number> {
  return inTransaction(store, async (tx) => {
    const found = await sql<{ id: string }>`update delivery_report r set text_out_id = t.id from text_out t
      where r.text_out_id is null and r.received_at > ${at(now - 86_400_000)}
        and t.gateway = r.gateway and t.provider_id = r.provider_id returning r.id`.execute(tx.db);
    if (found.rows.length === 0) return 0;
    await applyReports(tx, sql`r.id = any(${found.rows.map((row) => row.id)}::uuid[])`, now);
    return found.rows.length;
  });
}

async function applyReports(tx: Store, which: RawBuilder<unknown>, now: number): Promise<void> {
  await sql`with best as (select distinct on (r.text_out_id) r.text_out_id as id, r.reason, r.code, r.provider_id,
        case r.state when 'sent' then 'accepted' else r.state end as state
      from delivery_report r
      where ${which} and r.text_out_id is not null and r.state <> 'unknown'
      order by r.text_out_id, ${settles(sql`r.state`)} desc),
    mine as (select id from text_out where id in (select id from best) order by id for update),
    moved as (update text_out t set state = b.state, state_at = ${at(now)},
        provider_id = coalesce(t.provider_id, b.provider_id),
        failure = case when b.state = 'failed' then coalesce(b.reason, 'unreachable') end,
        error = case when b.state = 'failed' then b.code end,
        needs_care = b.state = 'failed'
      from best b join mine using (id)
      where t.id = b.id and ${settles(sql`t.state`)} < ${settles(sql`b.state`)}
      returning t.id, b.state, b.code)
    insert into text_out_step (text_out_id, state, at, detail)
      select id, state, ${at(now)}, code from moved`.execute(tx.db);
}

/** Reports about texts nobody here sent. */
export async function countUnmatchedReports(store: Store): Promise<number> {
  const row = await store.db
    .selectFrom('delivery_report')
    .select((eb) => eb.fn.countAll<number>().as('count'))
    .where('text_out_id', 'is', null)
    .executeTakeFirstOrThrow();
  return Number(row.count);
}
