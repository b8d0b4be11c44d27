import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { LineCounter, parseDocument } from 'yaml';
import { z } from 'zod';

/** The words of one staff language as its file holds them, keys joined by dots (`flag.take`). */
export interface StaffLanguage {
  readonly code: string;
  readonly name: string;
  readonly direction: 'ltr' | 'rtl';
  readonly review: string;
  readonly words: Readonly<Record<string, string>>;
}

const schema = z.strictObject({
  code: z.string().regex(/^[a-z]{2,3}$/),
  name: z.string().min(1),
  direction: z.enum(['ltr', 'rtl']),
  review: z.string().min(1),
  words: z.record(z.string(), z.record(z.string(), z.string().min(1))),
});

/**
 * Reads every language of the staff pages. Throws one error that lists every fault of every file: file, line, what is
 * wrong. English must be there; another language may leave sentences out, which are then shown in English.
 */
export function loadStaffLanguages(folder: string): StaffLanguage[] {
  const faults: string[] = [];
  const languages = readdirSync(folder)
    .filter((name) => name.endsWith('.yaml'))
    .sort()
    .flatMap((name) => readOne(join(folder, name), faults));
  const english = languages.find((language) => language.code === 'en');
  if (english === undefined)
    faults.push(`${folder}: en.yaml is missing; English is what other languages fall back to.`);
  else for (const language of languages) compare(folder, language, english, faults);
  if (faults.length > 0) throw new Error(`The words of the staff pages have faults:\n${faults.join('\n')}`);
  return languages;
}

function readOne(file: string, faults: string[]): StaffLanguage[] {
  const lines = new LineCounter();
  const document = parseDocument(readFileSync(file, 'utf8'), { lineCounter: lines });
  for (const error of document.errors) {
    faults.push(`${file}:${lines.linePos(error.pos[0]).line}: ${error.message.split('\n')[0]}`);
  }
  if (document.errors.length > 0) return [];
  const read = schema.safeParse(document.toJS());
  if (!read.success) {
    for (const issue of read.error.issues) {
      const node = document.getIn(issue.path as string[], true);
      const start = (node as { range?: [number, number, number] } | undefined)?.range?.[0] ?? 0;
      faults.push(`${file}:${lines.linePos(start).line}: ${issue.path.join('.')}: ${issue.message}`);
    }
    return [];
  }
  const words = Object.fromEntries(
    Object.entries(read.data.words).flatMap(([group, entries]) =>
      Object.entries(entries).map(([key, sentence]) => [`${group}.${key}`, sentence]),
    ),
  );
  return [{ ...read.data, words }];
}

function compare(folder: string, language: StaffLanguage, english: StaffLanguage, faults: string[]): void {
  for (const [key, sentence] of Object.entries(language.words)) {
    const original = english.words[key];
    const where = `${join(folder, `${language.code}.yaml`)}: ${key}`;
    if (original === undefined) {
      faults.push(`${where} is no sentence of the pages; en.yaml does not have it.`);
      continue;
    }
    const missing = placeholders(original).filter((name) => !placeholders(sentence).includes(name));
    const unknown = placeholders(sentence).filter((name) => !placeholders(original).includes(name));
    for (const name of missing) faults.push(`${where} leaves out {${name}}.`);
    for (const name of unknown) faults.push(`${where} has {${name}}, which nothing fills.`);
  }
}

function placeholders(sentence: string): string[] {
  return [...sentence.matchAll(/\{(\w+)\}/g)].map((match) => match[1] ?? '');
}
