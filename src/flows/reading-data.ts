import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { LineCounter, parse, parseDocument } from 'yaml';
import { z } from 'zod';
import { ASKED, INTENTS, READING_PHASES, SIGNS, URGENCIES } from '../core/model/signs.js';
import { type CompiledLanguages, compileLanguages } from '../core/reading/compile.js';
import { CONCEPT_KINDS, type LanguageData, type ReadingData } from '../core/reading/data.js';

const phrase = z.union([z.string(), z.number(), z.boolean()]).transform(String);
const phrases = z.array(phrase);
const asked = z.array(z.enum(ASKED));
const phases = z.array(z.enum(READING_PHASES));

const conceptsShape = z.record(
  z.string(),
  z.strictObject({ kind: z.enum(CONCEPT_KINDS), means: z.string() }),
);
const rulesShape = z.array(
  z.strictObject({
    when: z.string(),
    of: z.array(z.string()).optional(),
    unsaid: z.boolean().optional(),
    asked: asked.optional(),
    phase: phases.optional(),
    near: z.array(z.string()).optional(),
    without: z.array(z.string()).optional(),
    gives: z.enum([...SIGNS, ...INTENTS, 'nothing']),
  }),
);
const urgencyShape = z.array(
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
const wordsShape = z.record(z.string(), phrases);
const numberRecord = z.record(
  z.string().regex(/^\d+(\.\d+)?$/, 'expected a number as key, such as "8" or "0.5"'),
  phrases,
);
const numbersShape = z.strictObject({
  words: numberRecord,
  joiners: phrases.optional(),
  onesFirst: z.boolean().optional(),
  hours: numberRecord.optional(),
});
const languageShape = z.strictObject({
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

/** A fault in a data file: where, what was found, what is expected. */
export interface FileFault {
  readonly file: string;
  readonly line: number;
  readonly message: string;
}

/** Thrown with every fault of every file at once. */
export class FlowsError extends Error {
  constructor(readonly faults: readonly FileFault[]) {
    super(
      `${faults.length} fault(s) in flows:\n${faults.map((fault) => `  ${fault.file}:${fault.line}: ${fault.message}`).join('\n')}`,
    );
    this.name = 'FlowsError';
  }
}

type Shape<T> = {
  safeParse: (value: unknown) => { success: true; data: T } | { success: false; error: z.ZodError };
};

function lineOf(text: string, path: readonly PropertyKey[]): number {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines });
  for (let length = path.length; length > 0; length -= 1) {
    const node: unknown = document.getIn(path.slice(0, length), true);
    const range = typeof node === 'object' && node !== null && 'range' in node ? node.range : null;
    if (Array.isArray(range) && typeof range[0] === 'number') return lines.linePos(range[0]).line;
  }
  return 1;
}

function load<T>(root: string, name: string, shape: Shape<T>, faults: FileFault[], missing: T): T {
  const file = join(root, name);
  if (!existsSync(file)) return missing;
  const text = readFileSync(file, 'utf8');
  let value: unknown;
  try {
    value = parse(text) ?? {};
  } catch (error) {
    const line =
      error instanceof Error && 'linePos' in error && Array.isArray(error.linePos)
        ? Number(error.linePos[0]?.line ?? 1)
        : 1;
    faults.push({
      file: name,
      line,
      message: `not readable as YAML: ${error instanceof Error ? error.message.split('\n')[0] : String(error)}`,
    });
    return missing;
  }
  const result = shape.safeParse(value);
  if (result.success) return result.data;
  for (const issue of result.error.issues)
    faults.push({
      file: name,
      line: lineOf(text, issue.path),
      message: `${issue.path.join(' > ') || 'the file'}: ${issue.message}`,
    });
  return missing;
}

const WORD_FILES = ['words.yaml', 'signs.yaml', 'intents.yaml'] as const;

function loadLanguage(root: string, code: string, faults: FileFault[]): LanguageData | null {
  const folder = join('languages', code);
  if (!existsSync(join(root, folder, 'language.yaml'))) return null;
  const settings = load(
    root,
    join(folder, 'language.yaml'),
    languageShape,
    faults,
    null as z.infer<typeof languageShape> | null,
  );
  if (!settings) return null;
  if (settings.code !== code)
    faults.push({
      file: join(folder, 'language.yaml'),
      line: 1,
      message: `code is "${settings.code}", expected "${code}" as the folder is called`,
    });
  const words: Record<string, string[]> = {};
  for (const name of WORD_FILES)
    for (const [key, list] of Object.entries(load(root, join(folder, name), wordsShape, faults, {})))
      words[key] = [...(words[key] ?? []), ...list];
  const numbers = load(root, join(folder, 'numbers.yaml'), numbersShape, faults, { words: {} });
  const commonFile = join(root, folder, 'common.txt');
  const common = existsSync(commonFile)
    ? readFileSync(commonFile, 'utf8')
        .split(/\s+/)
        .filter((word) => word !== '')
    : [];
  return { ...settings, words, numbers, common };
}

/** Reads the reader's data from a `flows` folder: `reading/*.yaml` and every language under `languages/`. */
export function loadReadingData(flows: string): ReadingData {
  const faults: FileFault[] = [];
  const concepts = load(flows, join('reading', 'concepts.yaml'), conceptsShape, faults, {});
  const rules = load(flows, join('reading', 'rules.yaml'), rulesShape, faults, []);
  const urgency = load(flows, join('reading', 'urgency.yaml'), urgencyShape, faults, []);
  const emoji = load(flows, join('reading', 'emoji.yaml'), wordsShape, faults, {});
  const folder = join(flows, 'languages');
  const codes = existsSync(folder)
    ? readdirSync(folder, { withFileTypes: true })
        .filter((entry) => entry.isDirectory())
        .map((entry) => entry.name)
        .sort()
    : [];
  const languages = codes.flatMap((code) => loadLanguage(flows, code, faults) ?? []);
  if (languages.length === 0)
    faults.push({
      file: 'languages',
      line: 1,
      message: 'no language found: expected languages/<code>/language.yaml',
    });
  if (faults.length > 0) throw new FlowsError(faults);
  return { concepts, rules, urgency, emoji, languages };
}

/** Loads and compiles the reader's languages; every phrase that cannot be used is a fault. */
export function loadLanguages(flows: string): CompiledLanguages {
  const data = loadReadingData(flows);
  const faults: FileFault[] = [];
  const compiled = compileLanguages(data, ({ language, where, what }) =>
    faults.push(faultOf(flows, language, where, what)),
  );
  if (faults.length > 0) throw new FlowsError(faults);
  return compiled;
}

function faultOf(flows: string, language: string | null, where: string, what: string): FileFault {
  const folder = join('languages', language ?? '');
  for (const name of [...WORD_FILES, 'numbers.yaml', 'language.yaml']) {
    const file = join(flows, folder, name);
    if (!existsSync(file)) continue;
    const text = readFileSync(file, 'utf8');
    const quoted = /"([^"]+)"/.exec(what)?.[1];
    const line =
      text
        .split('\n')
        .findIndex((row) => (quoted === undefined ? row.startsWith(where) : row.includes(quoted))) + 1;
    if (line > 0) return { file: join(folder, name), line, message: `${where}: ${what}` };
  }
  return { file: folder, line: 1, message: `${where}: ${what}` };
}
