import { z } from 'zod';
import type { StaffId } from '../core/model/ids.js';
import { WEEKDAYS } from '../core/time/calendar-days.js';

const staffId = z.uuid('the id of a member of staff').transform((id) => id as StaffId);

/** What a clinic may set besides its hours, as kept in `clinic.settings`. Unknown keys are refused. */
export const clinicSettings = z.strictObject({
  /** Texts a second at most, shared by all workers; null: as fast as the gateway takes them. */
  textsPerSecond: z.number().positive().nullable().default(null),
  /** Texts a local day at most; safety texts and answers go beyond it. Null: no budget. */
  textsPerDay: z.number().int().positive().nullable().default(null),
  /** Planned texts are spread over this many minutes after their hour, so that 08:00 is no flood. */
  spreadMinutes: z.number().int().min(0).max(120).default(10),
  /** Weekdays on which somebody is at the clinic to act on flags, in its opening hours. */
  staffDays: z
    .array(z.enum(WEEKDAYS, `expected one of ${WEEKDAYS.join(', ')}`))
    .default(['monday', 'tuesday', 'wednesday', 'thursday', 'friday']),
  /** Staff (ids) told by text, one after another, of a flag nobody has taken; see `jobs/escalate.ts`. */
  onCall: z
    .strictObject({
      nurse: staffId.nullable().default(null),
      second: staffId.nullable().default(null),
      clinician: staffId.nullable().default(null),
    })
    .default({ nurse: null, second: null, clinician: null }),
});
export type ClinicSettings = z.infer<typeof clinicSettings>;
