import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import { ASKED, INTENTS, READING_PHASES, SIGNS, URGENCIES } from '../core/model/signs.js';
import type { LabelledText } from '../core/reading/score.js';

const labelled = z.object({
  id: z.string(),
  lang: z.string(),
  phase: z.enum(READING_PHASES),
  asked: z.enum(ASKED),
  text: z.string(),
  signs: z.array(z.enum(SIGNS)),
  denied: z.array(z.enum(SIGNS)),
  hours: z.union([z.number(), z.tuple([z.number(), z.number()]), z.null()]),
  intent: z.enum(INTENTS).nullable(),
  urgency: z.tuple([z.enum(URGENCIES), z.enum(URGENCIES)]),
});

/** Labelled texts of one file, one JSON object a line, and every line that is not one, with its number and why. */
export function labelledTexts(file: string): { rows: LabelledText[]; faults: string[] } {
  const rows: LabelledText[] = [];
  const faults: string[] = [];
  for (const [index, row] of readFileSync(file, 'utf8').split('\n').entries()) {
    if (row.trim() === '') continue;
    try {
      rows.push(labelled.parse(JSON.parse(row)));
    } catch (error) {
      const what =
        error instanceof z.ZodError
          ? error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; ')
          : 'not JSON';
      faults.push(`${file}:${index + 1}: ${what}`);
    }
  }
  return { rows, faults };
}

/** The project's own labelled texts, seen from src/app and from dist/app alike. */
const OWN_SETS = fileURLToPath(new URL('../../tests/reading-sets', import.meta.url));

/** `dev`: texts the vocabularies were tuned on. `kept-aside`: texts set aside before, only ever counted. */
export function ownTexts(part: 'dev' | 'kept-aside'): LabelledText[] {
  if (!existsSync(OWN_SETS)) return [];
  return readdirSync(OWN_SETS)
    .sort()
    .map((code) => join(OWN_SETS, code, `${part}.jsonl`))
    .filter((file) => existsSync(file))
    .flatMap((file) => labelledTexts(file).rows);
}
