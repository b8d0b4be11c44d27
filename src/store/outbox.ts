import { sql } from 'kysely';
import type { ChildId, ClinicId, FlagId, GuardianId, PlannedTextId, TextOutId } from '../core/model/ids.js';
import type { Lane, Promised } from '../core/model/texts.js';
import type { DueCursor } from './planned.js';
import { at, atOrNull, type Store } from './store.js';
import type { TextOutRow } from './tables.js';
import { inTransaction } from './transaction.js';

export interface NewText {
  /** Two texts with one key are one text. */
  readonly key: string;
  readonly clinicId: ClinicId | null;
  readonly guardianId: GuardianId | null;
  readonly childId: ChildId | null;
  readonly flagId?: FlagId | null;
  readonly to: string;
  readonly kind: string;
  readonly lane: Lane;
  readonly promised: Promised;
  readonly language: string;
  readonly body: string;
  /** What the body was made from; null for words a nurse wrote. */
  readonly wording: { readonly key: string; readonly values: Readonly<Record<string, string>> } | null;
  readonly plannedTextId?: PlannedTextId | null;
  readonly ignoresHours: boolean;
  /** Instants (ms). */
  readonly notBefore: number;
  readonly expiresAt: number | null;
}

/** Puts a text in the outbox in the caller's transaction. Null: a text of this key is there already. */
export async function addText(store: Store, text: NewText, now: number): Promise<TextOutId | null> {
  const [added] = await addTexts(store, [text], now);
  return added?.id ?? null;
}

/** A text that waits to be sent: what its job needs to know. */
export interface Waiting {
  readonly id: TextOutId;
  readonly lane: Lane;
  /** The earliest instant (ms) at which it may go. */
  readonly at: number;
}

/** The same for many at once; returns those that were new, in no particular order. */
export async function addTexts(
  store: Store,
  texts: readonly NewText[],
  now: number,
): Promise<readonly Waiting[]> {
  if (texts.length === 0) return [];
  return inTransaction(store, async (tx) => {
    const rows = await tx.db
      .insertInto('text_out')
      .values(texts.map((text) => rowOf(tx, text, now)))
      .onConflict((conflict) => conflict.column('key').doNothing())
      .returning(['id', 'lane', 'not_before'])
      .execute();
    await addSteps(
      tx,
      rows.map((row) => row.id),
      'planned',
      now,
      null,
    );
    return rows.map((row) => ({ id: row.id, lane: row.lane, at: row.not_before.getTime() }));
  });
}

function rowOf(tx: Store, text: NewText, now: number) {
  return {
    id: tx.newId<TextOutId>(),
    key: text.key,
    clinic_id: text.clinicId,
    guardian_id: text.guardianId,
    child_id: text.childId,
    flag_id: text.flagId ?? null,
    to_number: text.to,
    kind: text.kind,
    lane: text.lane,
    promised: text.promised,
    language: text.language,
    body: text.body,
    wording: text.wording?.key ?? null,
    wording_values: JSON.stringify(text.wording?.values ?? {}),
    planned_text_id: text.plannedTextId ?? null,
    ignores_hours: text.ignoresHours,
    not_before: at(text.notBefore),
    expires_at: atOrNull(text.expiresAt),
    created_at: at(now),
    state_at: at(now),
  };
}

/** Adds one line to the ledger of each text. */
export async function addSteps(
  tx: Store,
  ids: readonly TextOutId[],
  state: TextOutRow['state'],
  now: number,
  detail: string | null,
): Promise<void> {
  if (ids.length === 0) return;
  await sql`insert into text_out_step (text_out_id, state, at, detail)
    select id, ${state}, ${at(now)}, ${detail} from unnest(${ids}::uuid[]) as id`.execute(tx.db);
}

export interface TextToQueue extends Waiting {
  readonly state: 'planned' | 'queued';
}

/** Texts waiting to go before `before` (ms), earliest first, after the cursor. */
export async function textsToQueue(
  store: Store,
  before: number,
  after: DueCursor | null,
  limit: number,
): Promise<readonly TextToQueue[]> {
  const from =
    after === null
      ? sql`true`
      : sql`(coalesce(next_try_at, not_before), id) > (${at(after.at)}, ${after.id}::uuid)`;
  const found = await sql<{ id: TextOutId; lane: Lane; at: Date; state: 'planned' | 'queued' }>`
    select id, lane, coalesce(next_try_at, not_before) as at, state from text_out
    where state in ('planned', 'queued') and coalesce(next_try_at, not_before) < ${at(before)} and ${from}
    order by coalesce(next_try_at, not_before), id limit ${limit}`.execute(store.db);
  return found.rows.map((row) => ({ ...row, at: row.at.getTime() }));
}

/** Notes that these texts stand in the queue. */
export async function markQueued(store: Store, ids: readonly TextOutId[], now: number): Promise<void> {
  if (ids.length === 0) return;
  await sql`with moved as (update text_out set state = 'queued', state_at = ${at(now)}
      where id = any(${ids}::uuid[]) and state = 'planned' returning id)
    insert into text_out_step (text_out_id, state, at) select id, 'queued', ${at(now)} from moved`.execute(
    store.db,
  );
}

/** The texts of these ids that may still go, by id. */
export async function waitingTexts(store: Store, ids: readonly TextOutId[]) {
  const rows = await store.db
    .selectFrom('text_out')
    .leftJoin('phone_number', 'phone_number.number', 'text_out.to_number')
    .leftJoin('child', 'child.id', 'text_out.child_id')
    .selectAll('text_out')
    .select([
      'phone_number.is_stopped as is_number_stopped',
      'phone_number.quiet_until as quiet_until',
      'child.is_texting_stopped as is_child_stopped',
    ])
    .where('text_out.id', 'in', ids)
    .where('text_out.state', 'in', ['planned', 'queued'])
    .execute();
  return new Map(rows.map((row) => [row.id, row]));
}
export type WaitingText = TextOutRow & {
  readonly is_number_stopped: boolean | null;
  readonly quiet_until: Date | null;
  readonly is_child_stopped: boolean | null;
};

/** Ends texts that will not go, each with the reason a person can read. */
export async function endTexts(
  store: Store,
  ended: readonly { readonly id: TextOutId; readonly state: 'dropped' | 'withdrawn'; readonly why: string }[],
  now: number,
): Promise<void> {
  if (ended.length === 0) return;
  await sql`with ended as (select * from jsonb_to_recordset(${JSON.stringify(ended)}::jsonb)
      as e (id uuid, state text, why text)),
    moved as (update text_out set state = ended.state, error = ended.why, state_at = ${at(now)} from ended
      where text_out.id = ended.id and text_out.state in ('planned', 'queued') returning text_out.id)
    insert into text_out_step (text_out_id, state, at, detail)
      select id, ended.state, ${at(now)}, ended.why from ended join moved using (id)`.execute(store.db);
}

/** Moves the next try of waiting texts, for example to the next sending hour. Instants in ms. */
export async function postpone(
  store: Store,
  later: readonly { readonly id: TextOutId; readonly until: number }[],
): Promise<void> {
  if (later.length === 0) return;
  const rows = later.map(({ id, until }) => ({ id, until: at(until) }));
  await sql`update text_out set next_try_at = l.until
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as l (id uuid, until timestamptz)
    where text_out.id = l.id and text_out.state in ('planned', 'queued')`.execute(store.db);
}
