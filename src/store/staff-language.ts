import type { StaffId } from '../core/model/ids.js';
import { writeAudit } from './audit.js';
import type { Store } from './store.js';
import { inTransaction } from './transaction.js';

/** Sets the language in which a member of staff sees the pages. */
export async function setStaffLanguage(
  store: Store,
  staffId: StaffId,
  language: string,
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db.updateTable('staff').set({ language }).where('id', '=', staffId).execute();
    const entry = { at: now, actor: staffId, action: 'set-language', subject: `staff:${staffId}` };
    await writeAudit(tx, { ...entry, detail: { language } });
  });
}
