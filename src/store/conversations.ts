import type { StoredConversation } from '../core/model/effects.js';
import type { GuardianId } from '../core/model/ids.js';
import type { Asked } from '../core/model/signs.js';
import { at, atOrNull, type Store } from './store.js';
import type { ConversationRow } from './tables.js';

export interface Wake {
  readonly at: number;
  readonly reason: 'repeat' | 'silence' | 'follow-up';
}

/** A conversation with its row's id and what the family was last asked. */
export interface KnownConversation extends StoredConversation {
  readonly id: string;
  readonly guardianId: GuardianId;
  readonly asked: Asked;
  readonly wake: Wake | null;
}

/** The questions that stand with these guardians, whom the caller has locked; at most one each. */
export async function standingQuestions(
  tx: Store,
  guardianIds: readonly GuardianId[],
): Promise<ReadonlyMap<GuardianId, KnownConversation>> {
  if (guardianIds.length === 0) return new Map();
  const rows = await tx.db
    .selectFrom('conversation')
    .selectAll()
    .where('guardian_id', 'in', guardianIds)
    .where('state', '=', 'asking')
    .execute();
  return new Map(rows.map((row) => [row.guardian_id, known(row)]));
}

/** Whose conversation it is; null: nobody has one of this id. */
export async function guardianOfConversation(store: Store, id: string): Promise<GuardianId | null> {
  const query = store.db.selectFrom('conversation').select('guardian_id').where('id', '=', id);
  return (await query.executeTakeFirst())?.guardian_id ?? null;
}

/** A conversation to be woken; null when its time was moved or taken off meanwhile. The caller locked its guardian. */
export async function toWake(tx: Store, id: string, now: number): Promise<KnownConversation | null> {
  const row = await tx.db
    .selectFrom('conversation')
    .selectAll()
    .where('id', '=', id)
    .where('wake_at', '<=', at(now))
    .executeTakeFirst();
  return row === undefined ? null : known(row);
}

export interface Kept {
  readonly guardianId: GuardianId;
  /** The row that this step continued; null: a new conversation. */
  readonly before: KnownConversation | null;
  readonly conversation: StoredConversation;
  readonly asked: Asked;
  /** The timer that stands from now on; a step that sets none takes the old one off. */
  readonly wake: Wake | null;
}

/**
 * Keeps conversations after a step of each, in two statements for all that are new. One of another check-in or child
 * starts a row of its own and ends the question that stood before it, so that a guardian is never asked two things at
 * once. At most one a guardian. Returns the rows' ids in the order given.
 */
export async function keepConversations(
  tx: Store,
  list: readonly Kept[],
  now: number,
): Promise<readonly string[]> {
  const asking = list.filter((kept) => !isContinued(kept) && kept.conversation.state === 'asking');
  await endQuestions(
    tx,
    asking.map(({ guardianId }) => guardianId),
    now,
  );
  const fresh = [];
  const ids: string[] = [];
  for (const kept of list) {
    const row = rowOf(kept, now);
    if (isContinued(kept)) {
      await tx.db.updateTable('conversation').set(row).where('id', '=', kept.before.id).execute();
      ids.push(kept.before.id);
      continue;
    }
    const id = tx.newId<string>();
    fresh.push({ ...row, id, guardian_id: kept.guardianId, started_at: at(now) });
    ids.push(id);
  }
  if (fresh.length > 0) await tx.db.insertInto('conversation').values(fresh).execute();
  return ids;
}

function rowOf({ conversation, asked, wake }: Kept, now: number) {
  return {
    child_id: conversation.childId,
    check_in: conversation.checkIn,
    version: conversation.version,
    snapshot: JSON.stringify(conversation.snapshot),
    state: conversation.state,
    asked,
    wake_at: atOrNull(wake?.at ?? null),
    wake_reason: wake?.reason ?? null,
    updated_at: at(now),
  };
}

function isContinued(kept: Kept): kept is Kept & { readonly before: KnownConversation } {
  return kept.before !== null && isSame(kept.before, kept.conversation);
}

function isSame(before: KnownConversation, after: StoredConversation): boolean {
  return before.checkIn === after.checkIn && before.childId === after.childId;
}

/** Ends the questions that stand with these guardians: nothing more is expected and nothing wakes them. */
export async function endQuestions(
  tx: Store,
  guardianIds: readonly GuardianId[],
  now: number,
): Promise<void> {
  if (guardianIds.length === 0) return;
  await tx.db
    .updateTable('conversation')
    .set({ state: 'done', wake_at: null, wake_reason: null, updated_at: at(now) })
    .where('guardian_id', 'in', guardianIds)
    .where('state', '=', 'asking')
    .execute();
}

/** Takes every timer of a guardian's conversations off: its texts are stopped. */
export async function silenceConversations(tx: Store, guardianId: GuardianId, now: number): Promise<void> {
  await tx.db
    .updateTable('conversation')
    .set({ state: 'done', wake_at: null, wake_reason: null, updated_at: at(now) })
    .where('guardian_id', '=', guardianId)
    .where((eb) => eb.or([eb('state', '=', 'asking'), eb('wake_at', 'is not', null)]))
    .execute();
}

/** Conversations whose timer falls before `before` (ms), earliest first. */
export async function wakesDue(store: Store, before: number, limit: number) {
  const rows = await store.db
    .selectFrom('conversation')
    .select(['id', 'wake_at'])
    .where('wake_at', 'is not', null)
    .where('wake_at', '<=', at(before))
    .orderBy('wake_at')
    .limit(limit)
    .execute();
  return rows.flatMap(({ id, wake_at }) => (wake_at === null ? [] : [{ id, at: wake_at.getTime() }]));
}

function known(row: ConversationRow): KnownConversation {
  const wake =
    row.wake_at === null || row.wake_reason === null
      ? null
      : { at: row.wake_at.getTime(), reason: row.wake_reason };
  return {
    id: row.id,
    guardianId: row.guardian_id,
    checkIn: row.check_in as StoredConversation['checkIn'],
    version: row.version,
    childId: row.child_id,
    snapshot: row.snapshot,
    state: row.state,
    asked: row.asked,
    wake,
  };
}
