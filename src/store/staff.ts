import { createHash, randomBytes } from 'node:crypto';
import type { ClinicId, StaffId } from '../core/model/ids.js';
import { type Actor, writeAudit } from './audit.js';
import { at, type Store } from './store.js';
import type { StaffRole } from './tables.js';
import { inTransaction } from './transaction.js';

export interface NewStaff {
  /** Null: works for every clinic (an administrator). */
  readonly clinicId: ClinicId | null;
  readonly name: string;
  readonly role: StaffRole;
  readonly phone?: string | null;
  readonly language?: string;
}

export interface Staff {
  readonly id: StaffId;
  readonly clinicId: ClinicId | null;
  readonly name: string;
  readonly role: StaffRole;
  readonly phone: string | null;
  readonly language: string;
  readonly isActive: boolean;
}

export async function addStaff(store: Store, staff: NewStaff, by: Actor, now: number): Promise<StaffId> {
  return inTransaction(store, async (tx) => {
    const id = tx.newId<StaffId>();
    await tx.db
      .insertInto('staff')
      .values({
        id,
        clinic_id: staff.clinicId,
        name: staff.name,
        role: staff.role,
        phone: staff.phone ?? null,
        language: staff.language ?? 'en',
        created_at: at(now),
      })
      .execute();
    const entry = { at: now, actor: by, action: 'add-staff', subject: `staff:${id}` };
    await writeAudit(tx, { ...entry, clinicId: staff.clinicId, detail: { role: staff.role } });
    return id;
  });
}

export async function staffOf(store: Store, id: StaffId): Promise<Staff | null> {
  const row = await store.db.selectFrom('staff').selectAll().where('id', '=', id).executeTakeFirst();
  if (row === undefined) return null;
  return {
    id: row.id,
    clinicId: row.clinic_id,
    name: row.name,
    role: row.role,
    phone: row.phone,
    language: row.language,
    isActive: row.is_active,
  };
}

/** Thirty minutes: long enough to walk to the other machine, short enough to be worthless in a forwarded message. */
const LINK_LIVES_MS = 30 * 60_000;

/**
 * Makes a sign-in link's token: shown once, usable once until `now + livesMs`. Only its hash is kept, so that a copy
 * of the database signs nobody in.
 */
export async function createSignInLink(
  store: Store,
  staffId: StaffId,
  now: number,
  livesMs: number = LINK_LIVES_MS,
): Promise<string> {
  const token = randomBytes(32).toString('base64url');
  await inTransaction(store, async (tx) => {
    await tx.db
      .insertInto('sign_in_link')
      .values({
        token_hash: hashOf(token),
        staff_id: staffId,
        created_at: at(now),
        expires_at: at(now + livesMs),
      })
      .execute();
    const entry = { at: now, actor: 'toeline' as const, action: 'make-sign-in-link' };
    await writeAudit(tx, { ...entry, subject: `staff:${staffId}` });
  });
  return token;
}

export type SignIn =
  | { readonly staff: Staff }
  | { readonly refused: 'unknown' | 'used' | 'expired' | 'no-longer-staff' };

/** Uses a token up. Two at once: one signs in, the other reads `used`. */
export async function useSignInLink(store: Store, token: string, now: number): Promise<SignIn> {
  return inTransaction(store, async (tx) => {
    const link = await tx.db
      .selectFrom('sign_in_link')
      .selectAll()
      .where('token_hash', '=', hashOf(token))
      .forUpdate()
      .executeTakeFirst();
    if (link === undefined) return { refused: 'unknown' };
    if (link.used_at !== null) return { refused: 'used' };
    if (link.expires_at.getTime() <= now) return { refused: 'expired' };
    const staff = await staffOf(tx, link.staff_id);
    if (staff === null || !staff.isActive) return { refused: 'no-longer-staff' };
    await tx.db
      .updateTable('sign_in_link')
      .set({ used_at: at(now) })
      .where('token_hash', '=', link.token_hash)
      .execute();
    const entry = { at: now, actor: staff.id, action: 'sign-in', subject: `staff:${staff.id}` };
    await writeAudit(tx, { ...entry, clinicId: staff.clinicId });
    return { staff };
  });
}

function hashOf(token: string): string {
  return createHash('sha256').update(token).digest('hex');
}
