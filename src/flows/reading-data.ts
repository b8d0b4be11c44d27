import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type * as Yaml from 'yaml';
import type { z } from 'zod';
import { type CompiledLanguages, compileDigest } from '../core/reading/compile.js';
import type { LanguageData, ReadingData } from '../core/reading/data.js';
import { digestReading, type ReadingDigest } from '../core/reading/digest.js';
import { keepDigest, keptDigest } from './reading-cache.js';
import {
  conceptsShape,
  languageShape,
  numbersShape,
  rulesShape,
  urgencyShape,
  wordsShape,
} from './reading-shapes.js';

/** The YAML library takes a while to load and is not needed when nothing changed since the last start. */
const yaml = (): typeof Yaml => createRequire(import.meta.url)('yaml');

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
  const { LineCounter, parseDocument } = yaml();
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
    value = yaml().parse(text) ?? {};
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

/**
 * Loads and compiles the reader's languages; every phrase that cannot be used is a fault. What the files say is kept
 * beside the built program between starts and made anew whenever a file changes.
 */
export function loadLanguages(flows: string): CompiledLanguages {
  return compileDigest(keptDigest(flows) ?? freshDigest(flows));
}

function freshDigest(flows: string): ReadingDigest {
  const data = loadReadingData(flows);
  const faults: FileFault[] = [];
  const digest = digestReading(data, ({ language, where, what }) =>
    faults.push(faultOf(flows, language, where, what)),
  );
  if (faults.length > 0) throw new FlowsError(faults);
  keepDigest(flows, digest);
  return digest;
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
