import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readChoice, readYesNo } from '../../../src/core/reading/answers.js';
import { readText } from '../../../src/core/reading/read.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';

const compiled = loadLanguages(fileURLToPath(new URL('../../../flows', import.meta.url)));
const isLoaded = (code: string) => compiled.packs.some((pack) => pack.code === code);

/** Rows of a table kept outside the project, or none when it is not there. */
function rowsOf(name: string): string[][] {
  const file = fileURLToPath(new URL(`../../../../shared/data/${name}`, import.meta.url));
  if (!existsSync(file)) return [];
  const lines = readFileSync(file, 'utf8').split('\n');
  return lines
    .filter((line) => line !== '' && !line.startsWith('#') && !line.startsWith('lang\t'))
    .map((line) => line.split('\t'));
}

// Source: CLDR 48.2.0 posix.json and glibc 2.36 locales (yes and no words); CLDR 48.2.0 spell-out rules run by ICU.
const yesNo = rowsOf('yes-no.tsv').filter(([lang, , , kind]) => isLoaded(lang ?? '') && kind !== 'regex');
const numbers = rowsOf('numbers-spelled.tsv').filter(
  ([lang, number]) => isLoaded(lang ?? '') && Number(number) <= 24,
);

describe('readYesNo', () => {
  it.each([
    ['yes', 'yes'],
    ['Yes!!', 'yes'],
    ['yes thank you doctor', 'yes'],
    ['no', 'no'],
    ['No thanks', 'no'],
    ['no they are blue and cold', null],
    ['', null],
  ] as const)('reads "%s" as %s', (text, answer) => {
    expect(readYesNo(compiled, text, 'en')).toBe(answer);
  });

  it.skipIf(yesNo.length === 0)(
    'reads every yes and no word of CLDR and glibc (skipped when the table is absent)',
    () => {
      const wrong = yesNo.filter(
        ([lang, answer, value]) => readYesNo(compiled, value ?? '', lang ?? '') !== answer,
      );
      expect(wrong).toEqual([]);
    },
  );
});

describe('readChoice', () => {
  it.each([
    ['2', 2],
    [' 3. ', 3],
    ['٣', 3],
    ['two', 2],
    ['twenty two', 22],
    ['2 toes are blue', null],
    ['0555 123', null],
    ['', null],
  ])('reads "%s" as %s', (text, choice) => {
    expect(readChoice(compiled, text, 'en')).toBe(choice);
  });

  it.skipIf(numbers.length === 0)(
    'reads every number word of CLDR from 0 to 24 (skipped when the table is absent)',
    () => {
      const wrong = numbers.filter(
        ([lang, number, word]) => readChoice(compiled, word ?? '', lang ?? '') !== Number(number),
      );
      expect(wrong.map((row) => row.slice(0, 3))).toEqual([]);
    },
  );

  it.skipIf(numbers.length === 0)(
    'reads those number words as hours when hours were asked (skipped when the table is absent)',
    () => {
      const wrong = numbers.filter(([lang, number, word]) => {
        const reading = readText(compiled, {
          text: word ?? '',
          lang: lang ?? '',
          phase: 'brace-night',
          asked: 'hours',
        });
        return reading.hours !== Number(number);
      });
      expect(wrong.map((row) => row.slice(0, 3))).toEqual([]);
    },
  );
});
