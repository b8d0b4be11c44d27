import type { ClinicId, StaffId } from '../core/model/ids.js';
import { at, type Store } from './store.js';

/** Who did it: a member of staff, the family by its texts, or toeline by itself. */
export type Actor = StaffId | 'family' | 'toeline';

export interface AuditEntry {
  readonly at: number;
  readonly actor: Actor;
  /** A verb and its object: `enrol-child`, `close-flag`. */
  readonly action: string;
  /** What it was done to: `child:<id>`, `flag:<id>`. */
  readonly subject: string;
  readonly detail?: Readonly<Record<string, unknown>>;
  readonly clinicId?: ClinicId | null;
}

/** Writes who did what in the transaction that did it, so that neither can stand without the other. */
export async function writeAudit(tx: Store, ...entries: readonly AuditEntry[]): Promise<void> {
  if (entries.length === 0) return;
  await tx.db
    .insertInto('audit')
    .values(
      entries.map((entry) => ({
        at: at(entry.at),
        actor: entry.actor,
        action: entry.action,
        subject: entry.subject,
        detail: JSON.stringify(entry.detail ?? {}),
        clinic_id: entry.clinicId ?? null,
      })),
    )
    .execute();
}

/** What was done to one subject, oldest first. */
export async function auditOf(store: Store, subject: string) {
  const rows = await store.db
    .selectFrom('audit')
    .selectAll()
    .where('subject', '=', subject)
    .orderBy('number')
    .execute();
  return rows.map((row) => ({ ...row, at: row.at.getTime() }));
}
