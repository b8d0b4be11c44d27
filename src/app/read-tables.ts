import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { CompiledLanguages } from '../core/reading/compile.js';
import { ownTexts } from './labelled-texts.js';
import { scoreTable, scoreTexts, signTable } from './read-score.js';

const README = fileURLToPath(new URL('../../src/core/reading/README.md', import.meta.url));
const BEGIN = '<!-- scores: written by `toeline read --tables`, do not edit -->';
const END = '<!-- end of scores -->';

/** Scores the project's own labelled texts and writes the tables into the reader's README; returns them. */
export function writeTables(compiled: CompiledLanguages): string {
  const kept = scoreTexts(compiled, ownTexts('kept-aside'));
  const dev = scoreTexts(compiled, ownTexts('dev'));
  const all = kept.byLanguage.get('all');
  const tables = [
    '### Texts kept aside (never looked at while tuning)',
    scoreTable(kept.byLanguage),
    '### Texts the vocabularies were tuned on',
    scoreTable(dev.byLanguage),
    '### Signs, texts kept aside, all languages',
    all ? signTable(all) : '',
  ].join('\n\n');
  const text = readFileSync(README, 'utf8');
  const from = text.indexOf(BEGIN);
  const to = text.indexOf(END);
  if (from < 0 || to < from) throw new RangeError(`${README} has lost the marks "${BEGIN}" and "${END}"`);
  writeFileSync(README, `${text.slice(0, from + BEGIN.length)}\n\n${tables}\n${text.slice(to)}`);
  return tables;
}
