import type { StaffId } from '../core/model/ids.js';
import { type Actor, writeAudit } from './audit.js';
import type { Store } from './store.js';
import { inTransaction } from './transaction.js';

/** Lets a member of staff in no longer, or again. Links not yet used die with it; the record keeps their name. */
export async function setStaffActive(
  store: Store,
  staffId: StaffId,
  isActive: boolean,
  by: Actor,
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db.updateTable('staff').set({ is_active: isActive }).where('id', '=', staffId).execute();
    if (!isActive) {
      await tx.db
        .deleteFrom('sign_in_link')
        .where('staff_id', '=', staffId)
        .where('used_at', 'is', null)
        .execute();
    }
    const action = isActive ? 'let-staff-in-again' : 'let-staff-go';
    await writeAudit(tx, { at: now, actor: by, action, subject: `staff:${staffId}` });
  });
}
