import type { OpenMatter } from '../core/model/family.js';
import type { ChildId } from '../core/model/ids.js';
import type { Sign } from '../core/model/signs.js';
import { at, type Store } from './store.js';

const DAY_MS = 86_400_000;

/** Signs read in the last 30 days about these children, newest first. */
export async function recentSigns(
  tx: Store,
  childIds: readonly ChildId[],
  now: number,
): Promise<ReadonlyMap<ChildId, readonly { readonly sign: Sign; readonly at: number }[]>> {
  if (childIds.length === 0) return new Map();
  const rows = await tx.db
    .selectFrom('text_in')
    .select(['child_id', 'received_at', 'reading'])
    .where('child_id', 'in', childIds)
    .where('received_at', '>', at(now - 30 * DAY_MS))
    .orderBy('received_at', 'desc')
    .execute();
  const found = new Map<ChildId, { sign: Sign; at: number }[]>();
  for (const { child_id, received_at, reading } of rows) {
    if (child_id === null || reading === null) continue;
    const signs = reading.signs.map((sign) => ({ sign, at: received_at.getTime() }));
    found.set(child_id, [...(found.get(child_id) ?? []), ...signs]);
  }
  return found;
}

export type OpenMatterOf = OpenMatter & { readonly childId: ChildId | null; readonly number: string | null };

/** Open flags about these children or numbers. */
export async function openMattersOf(
  tx: Store,
  childIds: readonly ChildId[],
  numbers: readonly string[],
): Promise<readonly OpenMatterOf[]> {
  const keys = [...childIds.map((id) => `child:${id}`), ...numbers.map((number) => `number:${number}`)];
  if (keys.length === 0) return [];
  const rows = await tx.db
    .selectFrom('flag')
    .select(['matter', 'urgency', 'opened_at', 'child_id', 'number'])
    .where('about', 'in', keys)
    .where('state', '<>', 'closed')
    .execute();
  return rows.map((row) => ({
    matter: row.matter,
    urgency: row.urgency,
    openedAt: row.opened_at.getTime(),
    childId: row.child_id,
    number: row.child_id === null ? row.number : null,
  }));
}

/** Reminders and check-ins on their way or sent to these numbers in the last 7 days. */
export async function sentThisWeek(
  tx: Store,
  numbers: readonly string[],
  now: number,
): Promise<ReadonlyMap<string, number>> {
  if (numbers.length === 0) return new Map();
  const rows = await tx.db
    .selectFrom('text_out')
    .select(['to_number', (eb) => eb.fn.countAll<number>().as('count')])
    .where('to_number', 'in', numbers)
    .where('lane', 'in', ['visit', 'check-in'])
    .where('created_at', '>', at(now - 7 * DAY_MS))
    .where('state', 'not in', ['dropped', 'withdrawn', 'failed'])
    .groupBy('to_number')
    .execute();
  return new Map(rows.map((row) => [row.to_number, Number(row.count)]));
}
