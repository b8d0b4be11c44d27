import type { FlagId, StaffId, TextOutId } from '../core/model/ids.js';
import { writeAudit } from './audit.js';
import { addFlagEvent } from './flag-events.js';
import { addText } from './outbox.js';
import { at, type Store } from './store.js';
import { inTransaction } from './transaction.js';

export type NurseTexted =
  | { readonly kind: 'done'; readonly textOutId: TextOutId }
  /** The same form was sent twice: the text is on its way already. */
  | { readonly kind: 'sent-before' }
  | { readonly kind: 'no-such-flag' }
  | { readonly kind: 'already-closed' }
  | { readonly kind: 'no-number' }
  /** The family asked for no more texts, or the texts about the child were stopped. */
  | { readonly kind: 'stopped' };

/**
 * A nurse answers a family by text from a flag: at once, at any hour, at least once, because the family waits. The
 * text, the flag's history and the audit are one change. `formId` makes a form sent twice one text.
 */
export async function textFamily(
  store: Store,
  wanted: { readonly flagId: FlagId; readonly by: StaffId; readonly body: string; readonly formId: string },
  now: number,
): Promise<NurseTexted> {
  return inTransaction(store, async (tx) => {
    const flag = await tx.db
      .selectFrom('flag')
      .selectAll()
      .where('id', '=', wanted.flagId)
      .forUpdate()
      .executeTakeFirst();
    if (flag === undefined) return { kind: 'no-such-flag' };
    if (flag.state === 'closed') return { kind: 'already-closed' };
    const to = await recipient(tx, flag);
    if (to === null) return { kind: 'no-number' };
    if (to.isStopped) return { kind: 'stopped' };
    const textOutId = await addText(
      tx,
      {
        key: `nurse ${flag.id} ${wanted.formId}`,
        clinicId: flag.clinic_id,
        guardianId: to.guardianId,
        childId: flag.child_id,
        flagId: flag.id,
        to: to.number,
        kind: 'nurse',
        lane: 'answer',
        promised: 'at-least-once',
        language: to.language,
        body: wanted.body,
        wording: null,
        ignoresHours: true,
        notBefore: now,
        expiresAt: null,
      },
      now,
    );
    if (textOutId === null) return { kind: 'sent-before' };
    await tx.db
      .updateTable('flag')
      .set({ first_action_at: flag.first_action_at ?? at(now) })
      .where('id', '=', flag.id)
      .execute();
    await addFlagEvent(tx, {
      flagId: flag.id,
      at: now,
      kind: 'texted',
      staffId: wanted.by,
      note: wanted.body,
    });
    const entry = { at: now, actor: wanted.by, action: 'flag-texted', subject: `flag:${flag.id}` };
    await writeAudit(tx, { ...entry, clinicId: flag.clinic_id, detail: { text: textOutId } });
    return { kind: 'done', textOutId };
  });
}

interface Recipient {
  readonly guardianId: Awaited<ReturnType<typeof guardianOf>>['id'] | null;
  readonly number: string;
  readonly language: string;
  readonly isStopped: boolean;
}

/** Whoever wrote, else the guardian who is texted first, else the bare number. */
async function recipient(
  tx: Store,
  flag: { guardian_id: string | null; child_id: string | null; number: string | null },
): Promise<Recipient | null> {
  const guardian = await guardianOf(tx, flag);
  const number = guardian.number ?? flag.number;
  if (number === null || !/^\+\d{7,15}$/.test(number)) return null;
  const known = await tx.db
    .selectFrom('phone_number')
    .select('is_stopped')
    .where('number', '=', number)
    .executeTakeFirst();
  return {
    guardianId: guardian.id,
    number,
    language: guardian.language ?? 'en',
    isStopped: known?.is_stopped === true || guardian.isChildStopped,
  };
}

async function guardianOf(tx: Store, flag: { guardian_id: string | null; child_id: string | null }) {
  const row = await tx.db
    .selectFrom('guardian')
    .leftJoin('child_guardian', 'child_guardian.guardian_id', 'guardian.id')
    .leftJoin('child', 'child.id', 'child_guardian.child_id')
    .select(['guardian.id', 'guardian.number', 'guardian.language', 'child.is_texting_stopped'])
    .$if(flag.child_id !== null, (query) => query.where('child.id', '=', flag.child_id as never))
    .$if(flag.guardian_id !== null, (query) => query.where('guardian.id', '=', flag.guardian_id as never))
    .orderBy('child_guardian.rank')
    .limit(1)
    .execute();
  const isKnown = flag.child_id !== null || flag.guardian_id !== null;
  const [found] = isKnown ? row : [];
  return {
    id: found?.id ?? null,
    number: found?.number ?? null,
    language: found?.language ?? null,
    isChildStopped: found?.is_texting_stopped === true,
  };
}
