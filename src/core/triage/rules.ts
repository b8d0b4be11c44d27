import { z } from 'zod';
import { MATTERS } from '../model/flag.js';
import { INTENTS, READING_PHASES, SIGNS } from '../model/signs.js';
import { durationSchema } from './duration.js';

const signs = z.array(z.enum(SIGNS)).default([]);
const slug = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'lower-case words joined by hyphens');
const dayRange = z
  .strictObject({
    from: z.int().min(0).default(0),
    /** Inclusive. */
    to: z.int().min(0).nullable().default(null),
  })
  .nullable()
  .default(null);

/**
 * When a rule holds. Every part given must hold. A phase, age or day that is not known counts as fitting: what is
 * not known is read the stricter way.
 */
export const conditionSchema = z.strictObject({
  any: signs,
  all: signs,
  /** A second list of which one must be there too (fever and one of smell, discharge). */
  with: signs,
  /** None of these may be there. */
  without: signs,
  phases: z.array(z.enum(READING_PHASES)).default([]),
  /** Age in completed months. `under` is exclusive. */
  months: z
    .strictObject({ from: z.int().min(0).default(0), under: z.int().min(1).nullable().default(null) })
    .nullable()
    .default(null),
  'day-in-phase': dayRange,
  'cast-day': dayRange,
  'tenotomy-day': dayRange,
  /** The sign was also told on earlier days: `times` counts days, this one included. */
  again: z
    .strictObject({
      signs: z.array(z.enum(SIGNS)).min(1),
      times: z.int().min(2),
      'within-days': z.int().min(1).max(30),
    })
    .nullable()
    .default(null),
  /** The sign was already told at least `after` ago and at most `within` ago: it goes on. */
  still: z
    .strictObject({ signs: z.array(z.enum(SIGNS)).min(1), after: durationSchema, within: durationSchema })
    .nullable()
    .default(null),
  /** Degrees Celsius. A measured temperature below it does not count; a child that is hot, unmeasured, does. */
  'fever-from': z.number().min(37).max(42).nullable().default(null),
  /** How urgent the reader took the words to be (real bleeding or a small stain). */
  'read-as': z.enum(['now', 'less']).nullable().default(null),
  intents: z.array(z.enum(INTENTS)).default([]),
  'hours-below': z.number().min(0).max(24).nullable().default(null),
  /** Nothing a person could act on was made of the text, and less than this share was understood, or the reader asks for a person. */
  'understood-below': z.number().min(0).max(1).nullable().default(null),
  /** Raised by name only: by an answer of a check-in, by silence, by the course. */
  'by-name-only': z.boolean().default(false),
});
export type Condition = z.infer<typeof conditionSchema>;

export const ruleSchema = z.strictObject({
  id: slug,
  matter: z.enum(MATTERS),
  urgency: z.enum(['soon', 'today', 'now']),
  when: conditionSchema,
  /** Time until a person must have acted; without it, the limit of the urgency. */
  limit: durationSchema.nullable().default(null),
  /** 0..60: where in its urgency the rule stands before the child's own risks are added. */
  risk: z.int().min(0).max(60).default(20),
  /** For the nurse: why, and what next. `{signs}`, `{child}`, `{hours}`, `{temperature}` may be used. */
  reason: z.string().min(1),
  next: z.string().min(1),
  /** Key of messages.yaml for the text the family gets; null: none. */
  family: slug.nullable(),
  /** A question of open-door.yaml asked after it, at most one. */
  ask: slug.nullable().default(null),
  /** Keys of `sources`, or exactly "common practice, no source". */
  source: z.array(z.string().min(1)).min(1),
  /** What other published advice says, where leaflets disagree; the clinic may change the rule to it. */
  alternative: z.string().nullable().default(null),
  /** The published danger sign in a few words, and a text of a family that reports it: rows of the table. */
  'danger-sign': z.string().nullable().default(null),
  example: z.string().nullable().default(null),
});
export type TriageRule = z.infer<typeof ruleSchema>;

const ladderSchema = z.strictObject({
  nurse: durationSchema,
  second: durationSchema.nullable().default(null),
  clinician: durationSchema.nullable().default(null),
});

export const triageRulesSchema = z.strictObject({
  review: z.string().min(1),
  sources: z.record(slug, z.string().min(1)),
  /** Time until a person must have acted. `now` is counted by the clock, the others in clinic hours. */
  limits: z.strictObject({ now: durationSchema, today: durationSchema, soon: durationSchema }),
  /**
   * Who is told of an open flag that nobody has taken, and how long after: after opening for `now`, after its
   * limit has passed for the others.
   */
  ladder: z.strictObject({
    now: ladderSchema,
    'now-outside-hours': ladderSchema,
    today: ladderSchema,
    soon: ladderSchema,
  }),
  rules: z.array(ruleSchema).min(1),
});
export type TriageRules = z.infer<typeof triageRulesSchema>;

/** The rule of this name; a name nobody wrote is a mistake in the program or in a check-in, so it throws. */
export function ruleNamed(rules: TriageRules, id: string): TriageRule {
  const found = rules.rules.find((rule) => rule.id === id);
  if (!found) {
    const known = rules.rules.map((rule) => rule.id).join(', ');
    throw new Error(`triage.yaml has no rule "${id}"; it has: ${known}`);
  }
  return found;
}
