import type { ChildId, GuardianId } from '../core/model/ids.js';
import { at, type Store } from './store.js';

/** Notes that a number cannot be reached (ms), or that it can again (null). */
export async function markReachable(
  store: Store,
  number: string,
  unreachableSince: number | null,
): Promise<void> {
  await store.db
    .updateTable('phone_number')
    .set({ unreachable_since: unreachableSince === null ? null : at(unreachableSince) })
    .where('number', '=', number)
    .where('unreachable_since', unreachableSince === null ? 'is not' : 'is', null)
    .execute();
}

/** The child's next guardian after one, by rank, whose number is neither stopped nor unreachable; null: nobody. */
export async function nextGuardian(
  store: Store,
  childId: ChildId,
  after: GuardianId,
): Promise<GuardianId | null> {
  const row = await store.db
    .selectFrom('child_guardian as other')
    .innerJoin('child_guardian as one', 'one.child_id', 'other.child_id')
    .innerJoin('guardian', 'guardian.id', 'other.guardian_id')
    .innerJoin('phone_number', 'phone_number.number', 'guardian.number')
    .select('other.guardian_id')
    .where('other.child_id', '=', childId)
    .where('one.guardian_id', '=', after)
    .whereRef('other.rank', '>', 'one.rank')
    .where('phone_number.is_stopped', '=', false)
    .where('phone_number.unreachable_since', 'is', null)
    .orderBy('other.rank')
    .executeTakeFirst();
  return row?.guardian_id ?? null;
}
