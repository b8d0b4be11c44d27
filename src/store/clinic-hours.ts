import type { ClinicId } from '../core/model/ids.js';
import { type Actor, writeAudit } from './audit.js';
import type { Store } from './store.js';
import { inTransaction } from './transaction.js';

/** What a clinic may change about its days, hours and numbers. Clock times "HH:MM", dates ISO. */
export interface ClinicHoursChange {
  readonly clinicDays: readonly string[];
  readonly opens: string;
  readonly closes: string;
  readonly closures: readonly string[];
  readonly sendingFrom: string;
  readonly sendingTo: string;
  readonly callNumber: string;
  readonly emergencyNumber: string;
  /** For children enrolled from now on. */
  readonly protocol: string;
  /** Also for the children already in treatment. */
  readonly isForAll: boolean;
}

/**
 * Changes a clinic's days, hours and protocol in one transaction. Every child's course is marked to be planned anew at
 * the planner's next pass, since due dates and texts follow from them.
 */
export async function changeClinicHours(
  store: Store,
  id: ClinicId,
  change: ClinicHoursChange,
  by: Actor,
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    await tx.db
      .updateTable('clinic')
      .set({
        clinic_days: [...change.clinicDays],
        opens: change.opens,
        closes: change.closes,
        closures: JSON.stringify(change.closures),
        sending_from: change.sendingFrom,
        sending_to: change.sendingTo,
        call_number: change.callNumber,
        emergency_number: change.emergencyNumber,
        protocol: change.protocol,
      })
      .where('id', '=', id)
      .execute();
    await tx.db
      .updateTable('child')
      .set({
        planned_until: new Date(0),
        ...(change.isForAll ? { protocol: change.protocol } : {}),
      })
      .where('clinic_id', '=', id)
      .where('phase', '<>', 'discharged')
      .execute();
    await writeAudit(tx, {
      at: now,
      actor: by,
      action: 'change-clinic-hours',
      subject: `clinic:${id}`,
      clinicId: id,
      detail: { ...change },
    });
  });
}
