import type { ChildId, GuardianId } from '../core/model/ids.js';
import { writeAudit } from './audit.js';
import { silenceConversations } from './conversations.js';
import { at, type Store } from './store.js';
import { inTransaction } from './transaction.js';

/** Lanes a stop ends. Safety texts still go, and so does the one answer that confirms the stop. */
const STOPPED_LANES = ['visit', 'check-in'] as const;

/** Ends texts to a number, whoever holds the phone, and takes back those that were waiting. */
export async function stopNumber(
  store: Store,
  number: string,
  why: 'opted-out' | 'wrong-number' | 'died',
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db
      .updateTable('phone_number')
      .set({ is_stopped: true, stopped_why: why, stopped_at: at(now) })
      .where('number', '=', number)
      .execute();
    await tx.db
      .updateTable('text_out')
      .set({ state: 'withdrawn', error: `texts to this number were stopped (${why})`, state_at: at(now) })
      .where('to_number', '=', number)
      .where('state', 'in', ['planned', 'queued'])
      .where('lane', 'in', STOPPED_LANES)
      .execute();
    for (const guardianId of await guardiansOn(tx, number)) await silenceConversations(tx, guardianId, now);
    const detail = { why };
    await writeAudit(tx, {
      at: now,
      actor: 'family',
      action: 'stop-texts',
      subject: `number:${number}`,
      detail,
    });
  });
}

/** Lets texts to a number begin again. */
export async function resumeNumber(store: Store, number: string, now: number): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db
      .updateTable('phone_number')
      .set({ is_stopped: false, stopped_why: null, stopped_at: null, quiet_until: null })
      .where('number', '=', number)
      .execute();
    await writeAudit(tx, { at: now, actor: 'family', action: 'resume-texts', subject: `number:${number}` });
  });
}

/** Only safety texts and answers go to a number until an instant (ms): a hospital stay, mourning. */
export async function quietNumber(
  store: Store,
  number: string,
  until: number,
  why: 'hospital' | 'mourning',
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db
      .updateTable('phone_number')
      .set({ quiet_until: at(until) })
      .where('number', '=', number)
      .execute();
    const detail = { until: at(until).toISOString(), why };
    await writeAudit(tx, {
      at: now,
      actor: 'family',
      action: 'be-quiet',
      subject: `number:${number}`,
      detail,
    });
  });
}

/** Ends every text about a child, to all its guardians. */
export async function stopChild(store: Store, childId: ChildId, why: string, now: number): Promise<void> {
  await inTransaction(store, async (tx) => {
    const child = await tx.db
      .updateTable('child')
      .set({ is_texting_stopped: true, texting_stopped_why: why, updated_at: at(now) })
      .where('id', '=', childId)
      .returning('clinic_id')
      .executeTakeFirst();
    await tx.db
      .updateTable('planned_text')
      .set({ state: 'withdrawn', note: `texts about this child were stopped (${why})` })
      .where('child_id', '=', childId)
      .where('state', '=', 'planned')
      .execute();
    await tx.db
      .updateTable('text_out')
      .set({ state: 'withdrawn', error: `texts about this child were stopped (${why})`, state_at: at(now) })
      .where('child_id', '=', childId)
      .where('state', 'in', ['planned', 'queued'])
      .where('lane', 'in', STOPPED_LANES)
      .execute();
    await tx.db
      .updateTable('conversation')
      .set({ state: 'done', wake_at: null, wake_reason: null, updated_at: at(now) })
      .where('child_id', '=', childId)
      .where((eb) => eb.or([eb('state', '=', 'asking'), eb('wake_at', 'is not', null)]))
      .execute();
    const entry = { at: now, actor: 'family' as const, action: 'stop-texts', subject: `child:${childId}` };
    await writeAudit(tx, { ...entry, clinicId: child?.clinic_id ?? null, detail: { why } });
  });
}

/** Writes to a guardian in another language from now on (BCP 47 primary tag). */
export async function setLanguage(
  store: Store,
  guardianId: GuardianId,
  language: string,
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db.updateTable('guardian').set({ language }).where('id', '=', guardianId).execute();
    const entry = {
      at: now,
      actor: 'family' as const,
      action: 'set-language',
      subject: `guardian:${guardianId}`,
    };
    await writeAudit(tx, { ...entry, detail: { language } });
  });
}

async function guardiansOn(tx: Store, number: string): Promise<readonly GuardianId[]> {
  const rows = await tx.db.selectFrom('guardian').select('id').where('number', '=', number).execute();
  return rows.map((row) => row.id);
}
