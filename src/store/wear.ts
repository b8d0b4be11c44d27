import type { ChildId, TextInId } from '../core/model/ids.js';
import { at, type Store } from './store.js';

export interface WearDay {
  readonly childId: ChildId;
  /** Local ISO date of the night or day meant. */
  readonly date: string;
  /** Hours in 24 h, as the family told them. */
  readonly low: number;
  readonly high: number;
}

/** Keeps a day's brace wear; what the family says later about the same day stands. */
export async function recordWear(
  store: Store,
  day: WearDay,
  textInId: TextInId | null,
  now: number,
): Promise<void> {
  const told = { low: day.low, high: day.high, text_in_id: textInId, recorded_at: at(now) };
  await store.db
    .insertInto('wear_day')
    .values({ child_id: day.childId, on_date: day.date, ...told })
    .onConflict((conflict) => conflict.columns(['child_id', 'on_date']).doUpdateSet(told))
    .execute();
}

/** Wear as told, oldest first, from one local date on. */
export async function wearSince(store: Store, childId: ChildId, from: string) {
  return store.db
    .selectFrom('wear_day')
    .select(['on_date', 'low', 'high'])
    .where('child_id', '=', childId)
    .where('on_date', '>=', from)
    .orderBy('on_date')
    .execute();
}
