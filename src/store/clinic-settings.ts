import { z } from 'zod';

/** What a clinic may set besides its hours, as kept in `clinic.settings`. Unknown keys are refused. */
export const clinicSettings = z.strictObject({
  /** Texts a second at most, shared by all workers; null: as fast as the gateway takes them. */
  textsPerSecond: z.number().positive().nullable().default(null),
  /** Texts a local day at most; safety texts and answers go beyond it. Null: no budget. */
  textsPerDay: z.number().int().positive().nullable().default(null),
  /** Planned texts are spread over this many minutes after their hour, so that 08:00 is no flood. */
  spreadMinutes: z.number().int().min(0).max(120).default(10),
  /** Who is told by text of a flag nobody has taken, in this order; see `jobs/escalate.ts`. */
  onCall: z
    .array(
      z.strictObject({
        phone: z.string().regex(/^\+[1-9]\d{6,14}$/, 'write the number as +<country><number>'),
        /** Minutes after the flag's due time. */
        afterMinutes: z.number().int().min(0),
        name: z.string().optional(),
      }),
    )
    .default([]),
});
export type ClinicSettings = z.infer<typeof clinicSettings>;
