import { sql } from 'kysely';
import type { TextInId } from '../core/model/ids.js';
import { at, type Store } from './store.js';
import type { TextInRow } from './tables.js';
import { inTransaction } from './transaction.js';

/** How long the missing parts of a long text are waited for, in ms. */
export const PARTS_WAIT_MS = 10 * 60_000;

/** What stands in the joined text where a part did not come, so that nobody reads across the gap. */
export const GAP = ' […] ';

/** Which text a part belongs to. Phones reuse `ref`, so parts are only sought among those not joined yet. */
interface Whole {
  readonly gateway: string;
  readonly from_number: string;
  readonly to_number: string;
  readonly part_ref: number;
  readonly part_total: number;
}

/**
 * Joins the parts of one long text into a row of its own once all are there, or once the oldest has waited
 * {@link PARTS_WAIT_MS}: then the gap is marked and noted. Null while there is something to wait for.
 */
export async function joinParts(store: Store, whole: Whole, now: number): Promise<TextInId | null> {
  return inTransaction(store, async (tx) => {
    const rows = await partsOf(tx, whole);
    const parts = new Map(rows.map((row) => [row.part_number ?? 0, row]));
    const [first] = [...rows].sort((a, b) => a.received_at.getTime() - b.received_at.getTime());
    if (first === undefined) return null;
    const isComplete = parts.size === whole.part_total;
    if (!isComplete && first.received_at.getTime() > now - PARTS_WAIT_MS) return null;
    return insertWhole(tx, whole, rows, parts, first, now);
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

async function insertWhole(
  tx: Store,
  whole: Whole,
  rows: readonly TextInRow[],
  parts: ReadonlyMap<number, TextInRow>,
  first: TextInRow,
  now: number,
): Promise<TextInId> {
  const numbers = Array.from({ length: whole.part_total }, (_none, index) => index + 1);
  const missing = numbers.filter((number) => !parts.has(number));
  const id = tx.newId<TextInId>();
  await tx.db
    .insertInto('text_in')
    .values({
      id,
      gateway: whole.gateway,
      provider_id: `joined-${first.id}`,
      from_number: whole.from_number,
      to_number: whole.to_number,
      body: numbers.map((number) => parts.get(number)?.body ?? GAP).join(''),
      raw: numbers.map((number) => parts.get(number)?.raw ?? '').join('\n'),
      sent_at: first.sent_at,
      received_at: at(Math.min(now, first.received_at.getTime())),
      note: missing.length === 0 ? null : `Part ${missing.join(', ')} of ${whole.part_total} did not arrive.`,
    })
    .execute();
  await tx.db
    .updateTable('text_in')
    .set({ state: 'joined', joined_into: id })
    .where(
      'id',
      'in',
      rows.map((row) => row.id),
    )
    .execute();
  return id;
}

/** Long texts whose oldest part has waited long enough by `now` (ms). */
export async function overdueParts(store: Store, now: number): Promise<readonly Whole[]> {
  const found = await sql<Whole>`select gateway, from_number, to_number, part_ref, part_total
    from text_in where state = 'stored' and part_total is not null
    group by gateway, from_number, to_number, part_ref, part_total
    having min(received_at) <= ${at(now - PARTS_WAIT_MS)}`.execute(store.db);
  return found.rows;
}
