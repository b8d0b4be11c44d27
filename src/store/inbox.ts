import { createHash } from 'node:crypto';
import { sql } from 'kysely';
import type { ChildId, GuardianId, TextInId } from '../core/model/ids.js';
import type { Reading } from '../core/model/reading.js';
import { kept, readable } from './storable.js';
import { at, type Store } from './store.js';
import type { TextInRow } from './tables.js';
import { inTransaction } from './transaction.js';

/** A text a family sent, as its gateway passed it on. */
export interface Arrived {
  readonly providerId: string;
  readonly from: string;
  readonly to: string;
  readonly body: string;
  /** When the provider says it was sent, ISO 8601 with offset. */
  readonly at?: string;
  readonly part?: { readonly ref: number; readonly number: number; readonly total: number };
  readonly raw: string;
}

export interface Taken {
  readonly id: TextInId;
  /** False: it was here already, nothing more is to be done. */
  readonly isNew: boolean;
}

/** The same words from the same number by another gateway within this time are one text. */
const SAME_TEXT_MS = 10 * 60_000;

/**
 * Stores a text before anything looks at it. A repeat of the same provider id is dropped atomically; the same words
 * by another gateway within ten minutes are kept as a row that points at the first. Never throws on the content.
 */
export async function takeInbound(store: Store, gateway: string, text: Arrived, now: number): Promise<Taken> {
  const from = short(readable(text.from.trim()), 64);
  const body = readable(text.body);
  return inTransaction(store, async (tx) => {
    // Two gateways delivering the same words at once must not both find nothing.
    await sql`select pg_advisory_xact_lock(hashtextextended(${from} || chr(10) || ${body}, 0))`.execute(
      tx.db,
    );
    const twin = text.part === undefined ? await twinOf(tx, gateway, from, body, now) : undefined;
    const id = tx.newId<TextInId>();
    const providerId = short(readable(text.providerId), 200);
    const inserted = await tx.db
      .insertInto('text_in')
      .values({
        id,
        gateway,
        provider_id: providerId,
        from_number: from,
        to_number: short(readable(text.to.trim()), 64),
        body,
        raw: kept(text.raw),
        part_ref: text.part?.ref ?? null,
        part_number: text.part?.number ?? null,
        part_total: text.part?.total ?? null,
        sent_at: instantOf(text.at),
        received_at: at(now),
        state: twin === undefined ? 'stored' : 'joined',
        joined_into: twin ?? null,
        note: twin === undefined ? noteOn(text) : 'The same text had already come by another gateway.',
      })
      .onConflict((conflict) => conflict.columns(['gateway', 'provider_id']).doNothing())
      .returning('id')
      .executeTakeFirst();
    if (inserted !== undefined) return { id: twin ?? id, isNew: twin === undefined };
    return { id: await idOf(tx, gateway, providerId), isNew: false };
  });
}

async function twinOf(tx: Store, gateway: string, from: string, body: string, now: number) {
  const twin = await tx.db
    .selectFrom('text_in')
    .select('id')
    .where('from_number', '=', from)
    .where('received_at', '>', at(now - SAME_TEXT_MS))
    .where('body', '=', body)
    .where('gateway', '<>', gateway)
    .where('state', '<>', 'joined')
    .orderBy('received_at')
    .executeTakeFirst();
  return twin?.id;
}

async function idOf(tx: Store, gateway: string, providerId: string): Promise<TextInId> {
  const row = await tx.db
    .selectFrom('text_in')
    .select(['id', 'joined_into'])
    .where('gateway', '=', gateway)
    .where('provider_id', '=', providerId)
    .executeTakeFirstOrThrow();
  return row.joined_into ?? row.id;
}

/**
 * Keeps something that arrived but could not be read at all (a gateway's unknown form), for a person. Returns the row
 * to raise a flag about; a repeat of the same bytes is the same row.
 */
export async function takeUnreadable(
  store: Store,
  gateway: string,
  raw: string,
  words: string,
  now: number,
): Promise<Taken> {
  const providerId = `unreadable-${createHash('sha256').update(raw).digest('hex')}`;
  const body = raw.length > 2_000 ? `${raw.slice(0, 2_000)}…` : raw;
  const taken = await takeInbound(store, gateway, { providerId, from: '', to: '', body, raw }, now);
  if (taken.isNew) {
    await store.db.updateTable('text_in').set({ note: words }).where('id', '=', taken.id).execute();
  }
  return taken;
}

/** A text as it is stored; undefined when there is none of this id. */
export async function textIn(store: Store, id: TextInId): Promise<TextInRow | undefined> {
  return store.db.selectFrom('text_in').selectAll().where('id', '=', id).executeTakeFirst();
}

/** Locks a text that waits to be read; undefined when it has been read, joined or given up meanwhile. */
export async function lockUnread(tx: Store, id: TextInId): Promise<TextInRow | undefined> {
  return tx.db
    .selectFrom('text_in')
    .selectAll()
    .where('id', '=', id)
    .where('state', '=', 'stored')
    .forUpdate()
    .executeTakeFirst();
}

export interface ReadAs {
  readonly reading: Reading | null;
  readonly guardianId: GuardianId | null;
  readonly childId: ChildId | null;
}

export async function markRead(tx: Store, id: TextInId, as: ReadAs, now: number): Promise<void> {
  await tx.db
    .updateTable('text_in')
    .set({
      state: 'read',
      reading: as.reading === null ? null : JSON.stringify(as.reading),
      guardian_id: as.guardianId,
      child_id: as.childId,
      read_at: at(now),
      error: null,
    })
    .where('id', '=', id)
    .execute();
}

/** Notes that reading failed; `isGivenUp` leaves it to a person. Returns how often it has failed. */
export async function markFailed(
  store: Store,
  id: TextInId,
  error: string,
  isGivenUp: boolean,
): Promise<number> {
  const row = await store.db
    .updateTable('text_in')
    .set((eb) => ({
      attempts: eb('attempts', '+', 1),
      error: readable(error).slice(0, 2_000),
      state: isGivenUp ? 'failed' : 'stored',
    }))
    .where('id', '=', id)
    .where('state', '=', 'stored')
    .returning('attempts')
    .executeTakeFirst();
  return row?.attempts ?? 0;
}

/** Texts nobody has read that came before `before` (ms), oldest first. */
export async function unreadTexts(store: Store, before: number, limit: number) {
  return (
    store.db
      .selectFrom('text_in')
      .select(['id', 'attempts'])
      .where('state', '=', 'stored')
      .where('received_at', '<=', at(before))
      // Parts wait for each other; `parts.ts` sees to them.
      .where('part_total', 'is', null)
      .orderBy('received_at')
      .limit(limit)
      .execute()
  );
}

function noteOn(text: Arrived): string | null {
  if (readable(text.body) !== text.body) return 'Some characters could not be shown; what arrived is kept.';
  return text.body.includes('\uFFFD') ? 'Some characters arrived broken.' : null;
}

/** A value for an index: those too long for one are told apart by their hash. The whole stands in `raw`. */
function short(text: string, most: number): string {
  if (text.length <= most) return text;
  const hash = createHash('sha256').update(text).digest('hex').slice(0, 16);
  return `${readable(text.slice(0, most - 17))}-${hash}`;
}

function instantOf(iso: string | undefined): Date | null {
  if (iso === undefined) return null;
  const ms = Date.parse(iso);
  return Number.isNaN(ms) ? null : at(ms);
}
