import { z } from 'zod';
import { ASKED, INTENTS, READING_PHASES, SIGNS, URGENCIES } from '../core/model/signs.js';
import { CONCEPT_KINDS } from '../core/reading/data.js';

/** The shapes of the reader's files: `reading/*.yaml` and `languages/<code>/*.yaml`. Unknown keys are refused. */
const phrase = z.union([z.string(), z.number(), z.boolean()]).transform(String);
const phrases = z.array(phrase);
const asked = z.array(z.enum(ASKED));
const phases = z.array(z.enum(READING_PHASES));

export const conceptsShape = z.record(
  z.string(),
  z.strictObject({ kind: z.enum(CONCEPT_KINDS), means: z.string() }),
);
export const rulesShape = z.array(
  z.strictObject({
    when: z.string(),
    of: z.array(z.string()).optional(),
    unsaid: z.boolean().optional(),
    asked: asked.optional(),
    phase: phases.optional(),
    near: z.array(z.string()).optional(),
    without: z.array(z.string()).optional(),
    within: z.number().int().min(1).optional(),
    gives: z.enum([...SIGNS, ...INTENTS, 'nothing']),
  }),
);
export const urgencyShape = z.array(
  z.strictObject({
    sign: z.enum(SIGNS).optional(),
    signs: z.array(z.enum(SIGNS)).optional(),
    intent: z.enum(INTENTS).optional(),
    phase: phases.optional(),
    hoursBelow: z.number().optional(),
    mark: z.array(z.string()).optional(),
    withoutMark: z.array(z.string()).optional(),
    urgency: z.enum(URGENCIES),
    source: z.string(),
  }),
);
export const wordsShape = z.record(z.string(), phrases);
const numberRecord = z.record(
  z.string().regex(/^\d+(\.\d+)?$/, 'expected a number as key, such as "8" or "0.5"'),
  phrases,
);
export const numbersShape = z.strictObject({
  words: numberRecord,
  joiners: phrases.optional(),
  onesFirst: z.boolean().optional(),
  hours: numberRecord.optional(),
});
export const languageShape = z.strictObject({
  code: z.string().regex(/^[a-z]{2,3}$/, 'expected a language tag of two or three letters, such as "sw"'),
  name: z.string(),
  english: z.string(),
  direction: z.enum(['ltr', 'rtl']),
  review: z.string(),
  negation: z.enum(['before', 'after', 'both']),
  sixHourClock: z.boolean().default(false),
  sounds: z.array(z.tuple([phrase, phrase])).default([]),
  affixes: z
    .array(
      z.strictObject({
        before: phrases.optional(),
        after: phrases.optional(),
        adds: z.string().optional(),
        leaves: z.number().int().min(1).optional(),
      }),
    )
    .default([]),
  neverMisspelt: phrases.default([]),
  yes: phrases,
  no: phrases,
  stopWords: phrases,
});
