import { addFlagEvent } from './flag-events.js';
import { at, atOrNull, type Store } from './store.js';
import type { FlagRow } from './tables.js';

/** Open flags whose ladder must be looked at by `now` (ms), locked; others who look at the same time take others. */
export async function lockFlagsToEscalate(
  tx: Store,
  now: number,
  limit: number,
): Promise<readonly FlagRow[]> {
  return tx.db
    .selectFrom('flag')
    .selectAll()
    .where('state', '<>', 'closed')
    .where('escalate_at', 'is not', null)
    .where('escalate_at', '<=', at(now))
    .orderBy('escalate_at')
    .limit(limit)
    .forUpdate()
    .skipLocked()
    .execute();
}

/** Notes how far up the ladder a flag has been told, and when to look again (ms; null: never). */
export async function noteEscalated(
  tx: Store,
  flag: FlagRow,
  step: number,
  words: readonly string[],
  nextAt: number | null,
  now: number,
): Promise<void> {
  await tx.db
    .updateTable('flag')
    .set({ escalated_step: step, escalate_at: atOrNull(nextAt) })
    .where('id', '=', flag.id)
    .execute();
  for (const note of words) {
    await addFlagEvent(tx, { flagId: flag.id, at: now, kind: 'escalated', urgency: flag.urgency, note });
  }
}
