import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import {
  FALLBACK_LANGUAGE,
  type LanguageMessages,
  type Messages,
  placeholdersOf,
} from '../core/texts/wording.js';
import type { Fault } from './fault.js';
import { type Found, orThrow } from './flow-faults.js';
import { readFlowFile } from './flow-file.js';

/** Every placeholder a text may name; who fills which is told in flows/check-ins/README.md. */
export const PLACEHOLDERS = [
  'child',
  'clinic',
  'call',
  'emergency',
  'date',
  'time',
  'hours',
  'first',
  'second',
  'third',
  'fourth',
  'matter',
  'words',
  'code',
  'count',
] as const;

const messagesSchema = z.strictObject({
  review: z.string().min(1),
  name: z.string().min(1),
  direction: z.enum(['ltr', 'rtl']),
  'asked-for-by': z.array(z.string().min(1)).min(1),
  'begin-words': z.array(z.string().min(1)).default([]),
  /** Letters that may stand in for others when that makes a text cheaper: `{ á: a }`. */
  'plain-letters': z.record(z.string().length(1), z.string()).default({}),
  texts: z.record(z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/), z.string().trim().min(1)),
});

/** The wording of every language under `flows/languages`. Throws every fault at once (`FlowFaults`). */
export function loadMessages(folder: string): Messages {
  return orThrow(readMessages(folder));
}

/** As `loadMessages`, the faults in the result. A text another language lacks comes in English, so is no fault here. */
export function readMessages(
  folder: string,
): Found<Messages> & { lineOf(language: string, key: string): number } {
  const faults: Fault[] = [];
  const lines = new Map<string, (path: readonly PropertyKey[]) => number>();
  const messages: Record<string, LanguageMessages> = {};
  for (const language of languagesIn(folder)) {
    const file = `languages/${language}/messages.yaml`;
    const read = readFlowFile(folder, file, messagesSchema);
    if (!read.isValid) {
      faults.push(...read.faults);
      continue;
    }
    lines.set(language, read.lineOf);
    const { review, name, direction, texts } = read.value;
    const askedFor = read.value['asked-for-by'];
    const beginWords = read.value['begin-words'];
    const plainLetters = read.value['plain-letters'];
    messages[language] = { review, name, direction, askedFor, beginWords, plainLetters, texts };
    faults.push(...placeholderFaults(file, texts, (key) => read.lineOf(['texts', key])));
  }
  const english = messages[FALLBACK_LANGUAGE];
  if (!english) {
    const file = `languages/${FALLBACK_LANGUAGE}/messages.yaml`;
    faults.push({
      file,
      line: 1,
      path: '',
      found: 'no English',
      expected: 'English texts, which others fall back to',
    });
  }
  const lineOf = (language: string, key: string) => lines.get(language)?.(['texts', key]) ?? 1;
  return { value: english ? messages : null, faults, lineOf };
}

function languagesIn(folder: string): string[] {
  const languages = join(folder, 'languages');
  if (!existsSync(languages)) return [];
  return readdirSync(languages)
    .filter((name) => existsSync(join(languages, name, 'messages.yaml')))
    .sort();
}

function placeholderFaults(
  file: string,
  texts: Readonly<Record<string, string>>,
  lineOf: (key: string) => number,
): Fault[] {
  const known: readonly string[] = PLACEHOLDERS;
  return Object.entries(texts).flatMap(([key, text]) =>
    placeholdersOf(text)
      .filter((name) => !known.includes(name))
      .map((name) => ({
        file,
        line: lineOf(key),
        path: `texts.${key}`,
        found: `{${name}}`,
        expected: `one of ${known.map((one) => `{${one}}`).join(' ')}`,
      })),
  );
}
