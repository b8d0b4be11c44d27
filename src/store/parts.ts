import { sql } from 'kysely';
import type { TextInId } from '../core/model/ids.js';
import {
  type JoinedText,
  joinParts,
  type PartReceived,
  WAIT_FOR_PARTS_MS,
} from '../core/texts/join-parts.js';
import { at, type Store } from './store.js';
import type { TextInRow } from './tables.js';
import { inTransaction } from './transaction.js';

/** What parts of one long text share. Phones reuse `ref`, so they are only sought among those not joined yet. */
export interface Whole {
  readonly gateway: string;
  readonly from_number: string;
  readonly to_number: string;
  readonly part_ref: number;
  readonly part_total: number;
}

/**
 * Joins stored parts into texts of their own: whole, or with the gap marked and noted once nothing came for ten
 * minutes. Every part ends up in exactly one text. Returns the new texts; none while there is something to wait for.
 */
export async function joinStoredParts(store: Store, whole: Whole, now: number): Promise<readonly TextInId[]> {
  return inTransaction(store, async (tx) => {
    const rows = await partsOf(tx, whole);
    const { ready } = joinParts(rows.map(received), now);
    const ids: TextInId[] = [];
    for (const text of ready) ids.push(await keep(tx, whole, text, rows, now));
    return ids;
  });
}

async function partsOf(tx: Store, whole: Whole): Promise<TextInRow[]> {
  return tx.db
    .selectFrom('text_in')
    .selectAll()
    .where('state', '=', 'stored')
    .where('gateway', '=', whole.gateway)
    .where('from_number', '=', whole.from_number)
    .where('to_number', '=', whole.to_number)
    .where('part_ref', '=', whole.part_ref)
    .where('part_total', '=', whole.part_total)
    .orderBy('id')
    .forUpdate()
    .execute();
}

function received(row: TextInRow): PartReceived {
  return {
    id: row.id,
    from: row.from_number,
    to: row.to_number,
    body: row.body,
    part: { ref: row.part_ref ?? 0, number: row.part_number ?? 0, total: row.part_total ?? 0 },
    at: row.received_at.getTime(),
  };
}

async function keep(
  tx: Store,
  whole: Whole,
  text: JoinedText,
  rows: readonly TextInRow[],
  now: number,
): Promise<TextInId> {
  const parts = rows.filter((row) => text.ids.includes(row.id));
  const id = tx.newId<TextInId>();
  await tx.db
    .insertInto('text_in')
    .values({
      id,
      gateway: whole.gateway,
      provider_id: `joined-${parts[0]?.id ?? id}`,
      from_number: text.from,
      to_number: text.to,
      body: text.body,
      raw: parts.map((part) => part.raw).join('\n'),
      sent_at: parts[0]?.sent_at ?? null,
      received_at: at(Math.min(now, text.at)),
      note: text.isWhole ? null : `Part ${text.missing.join(', ')} of ${whole.part_total} did not arrive.`,
    })
    .execute();
  await tx.db
    .updateTable('text_in')
    .set({ state: 'joined', joined_into: id })
    .where('id', 'in', text.ids as readonly TextInId[])
    .execute();
  return id;
}

/** Long texts of which a part has waited long enough by `now` (ms). */
export async function overdueParts(store: Store, now: number): Promise<readonly Whole[]> {
  const found = await sql<Whole>`select gateway, from_number, to_number, part_ref, part_total
    from text_in where state = 'stored' and part_total is not null
    group by gateway, from_number, to_number, part_ref, part_total
    having min(received_at) <= ${at(now - WAIT_FOR_PARTS_MS)}`.execute(store.db);
  return found.rows;
}
