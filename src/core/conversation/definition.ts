import { z } from 'zod';
import { ASKED, INTENTS, READING_PHASES, SIGNS } from '../model/signs.js';
import { CHECK_INS, type CheckIn } from '../model/texts.js';
import { durationSchema } from '../triage/duration.js';

const slug = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'lower-case words joined by hyphens');
const signs = z.array(z.enum(SIGNS)).default([]);

/** One thing a family may answer. It is heard when any of its ways of being said fits. */
export const answerSchema = z.strictObject({
  digit: z.int().min(1).max(9).nullable().default(null),
  says: z.enum(['yes', 'no']).nullable().default(null),
  signs,
  denies: signs,
  intents: z.array(z.enum(INTENTS)).default([]),
  hours: z
    .strictObject({
      from: z.number().min(0).max(24).default(0),
      /** Exclusive; null: up to 24. */
      below: z.number().min(0).max(24).nullable().default(null),
    })
    .nullable()
    .default(null),
  /** The child of this place in the list of the guardian's children (1 is the first). */
  child: z.int().min(1).max(4).nullable().default(null),
  /** Signs this answer stands for when it is given by digit or by yes or no. */
  means: signs,
  /** A rule of triage.yaml raised by this answer. */
  raises: slug.nullable().default(null),
  /** The question or the end that follows. */
  next: slug,
});
export type Answer = z.infer<typeof answerSchema>;

export const silenceSchema = z.strictObject({
  phases: z.array(z.enum(READING_PHASES)).default([]),
  /** The gentle repeat, so long after the question; null: none. */
  again: durationSchema.nullable(),
  /** A call task, so long after the repeat (or after the question). */
  person: durationSchema,
  /** The rule of triage.yaml that raises it; null: end without a word. */
  raises: slug.nullable(),
});
export type Silence = z.infer<typeof silenceSchema>;

export const questionSchema = z.strictObject({
  /** Keys of messages.yaml: the question, and the plainer words used when it is asked a second time. */
  text: slug,
  again: slug,
  asked: z.enum(ASKED),
  answers: z.record(slug, answerSchema),
  /** In place of the definition's own, where this question's silence means more (or less). */
  silence: silenceSchema.nullable().default(null),
});
export type Question = z.infer<typeof questionSchema>;

export const OUTCOMES = ['well', 'person', 'noted'] as const;

export const endSchema = z.strictObject({
  /** Key of messages.yaml; null: say nothing. A flag's own text goes in its place. */
  text: slug.nullable(),
  /** well: nothing to do. noted: something was recorded. person: a flag has been raised. */
  outcome: z.enum(OUTCOMES),
});
export type End = z.infer<typeof endSchema>;

export const notReadingSchema = z.strictObject({
  /** A text without a question, or none. */
  text: slug.nullable(),
  raises: slug.nullable(),
});

export const DEFINITION_NAMES = [...CHECK_INS, 'open-door'] as const;
export type DefinitionName = CheckIn | 'open-door';

/** One check-in as a clinic writes it. The questions under `begin` may open it; the first one usually does. */
export const definitionSchema = z.strictObject({
  name: z.enum(DEFINITION_NAMES),
  about: z.string().min(1),
  review: z.string().min(1),
  source: z.array(z.string().min(1)).min(1),
  begin: z.array(slug).min(1),
  /** May go out although the family has had its texts for the week. */
  'despite-weekly-limit': z.boolean().default(false),
  silence: z.array(silenceSchema).min(1),
  'not-reading': notReadingSchema,
  /** A number that takes no texts: the rule that raises a call task; null: nothing. */
  'when-stopped': slug.nullable().default(null),
  questions: z.record(slug, questionSchema),
  ends: z.record(slug, endSchema),
});
export type DefinitionBody = z.infer<typeof definitionSchema>;

/** A definition with the hash of its content, under which running conversations are stored. */
export interface Definition extends DefinitionBody {
  readonly version: string;
  /** Its own texts as they stood when it was loaded: wording key -> language -> template. */
  readonly wordings: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

/**
 * What yes, no, digits and set words mean in a language. The reader's language packs answer this; the conversation
 * only asks.
 */
export interface AnswerReader {
  yesNo(text: string, language: string): 'yes' | 'no' | null;
  /** The number of a listed answer when the text is nothing but that (a digit, a digit in words); else null. */
  choice(text: string, language: string): number | null;
  /** Whether the text asks for texts to begin again after a stop (START and its family). */
  asksToBegin(text: string, language: string): boolean;
  /** The language a text asks to be written to in ("English", "Kiswahili"), or null. */
  asksForLanguage(text: string): string | null;
}

export interface CheckInDefinitions {
  readonly current: Readonly<Record<DefinitionName, Definition>>;
  /** Every definition still in use by a conversation, by version; current ones included. */
  readonly byVersion: ReadonlyMap<string, Definition>;
  readonly answers: AnswerReader;
  /** At most so many reminders and check-ins in 7 days, unless a check-in may go despite it. */
  readonly weeklyLimit: number;
}
