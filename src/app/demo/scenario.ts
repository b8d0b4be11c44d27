import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { DateTime } from 'luxon';
import { parse } from 'yaml';
import { z } from 'zod';
import { PROJECT_FOLDER } from '../config.js';

const day = z.int().max(0);
const guardian = z.strictObject({
  name: z.string(),
  number: z.string().regex(/^\+447700900\d{3}$/, 'numbers here are from the range set aside for drama'),
  language: z.string(),
  reads: z.boolean().default(true),
  relation: z.string().default('parent'),
});
const child = z.strictObject({
  name: z.string(),
  born: day,
  feet: z.array(z.enum(['left', 'right'])).min(1),
  travelHours: z.number().optional(),
  story: z.string().optional(),
  guardians: z.array(guardian).min(1),
  casts: z.array(z.tuple([day, z.number(), z.number()])),
  tenotomy: day.optional(),
  removed: day.optional(),
  brace: day.optional(),
  visits: z.array(day).default([]),
  missed: z.array(day).default([]),
  discharged: day.optional(),
});
const scenario = z.strictObject({
  starts: z.iso.datetime({ local: true, precision: -1 }),
  clinic: z.strictObject({
    name: z.string(),
    timeZone: z.string(),
    country: z.string(),
    clinicDays: z.array(z.string()),
    opens: z.string(),
    closes: z.string(),
    sendingFrom: z.string(),
    sendingTo: z.string(),
    callNumber: z.string(),
    emergencyNumber: z.string(),
    closures: z.array(z.iso.date()),
  }),
  staff: z.array(
    z.strictObject({
      name: z.string(),
      role: z.enum(['nurse', 'clinician', 'coordinator', 'administrator']),
      phone: z.string(),
      language: z.string(),
    }),
  ),
  children: z.array(child),
});

export type Scenario = z.infer<typeof scenario>;
export type ScenarioChild = Scenario['children'][number];

/** Reads the invented clinic from `demo/scenario.yaml`. */
export function readScenario(): Scenario {
  return scenario.parse(parse(readFileSync(join(PROJECT_FOLDER, 'demo', 'scenario.yaml'), 'utf8')));
}

/** The instant (ms) at which the demonstration starts, in the clinic's zone. */
export function startOf(it: Scenario): number {
  return DateTime.fromISO(it.starts, { zone: it.clinic.timeZone }).toMillis();
}

/** The local date that lies `days` from the day the demonstration starts. */
export function dateOf(it: Scenario, days: number): string {
  return DateTime.fromISO(it.starts, { zone: it.clinic.timeZone }).plus({ days }).toISODate() ?? '';
}
