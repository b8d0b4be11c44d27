import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readText } from '../../../src/core/reading/read.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';

const compiled = loadLanguages(fileURLToPath(new URL('../../../flows', import.meta.url)));

// Source: Almeida TA, Gomez Hidalgo JM, Yamakami A. SMS Spam Collection v.1 (UCI Machine Learning Repository, dataset
// 228, 2012): 5,574 texts of ordinary people and advertisers. Real people's texts, so not copied into the project.
const FILE = fileURLToPath(new URL('../../../../shared/data/SMSSpamCollection.tsv', import.meta.url));
const texts = existsSync(FILE)
  ? readFileSync(FILE, 'utf8')
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => line.slice(line.indexOf('\t') + 1))
  : [];

describe.skipIf(texts.length === 0)('ordinary text messages (skipped when the corpus is absent)', () => {
  it('are read as urgent now in at most 2 of 1,000', () => {
    const now = texts.filter((text) => readText(compiled, { text, lang: 'en' }).urgency === 'now');
    expect(now.length / texts.length).toBeLessThanOrEqual(0.002);
  });

  it('are taken for an opt-out only where they ask somebody to stop', () => {
    const stops = texts.filter((text) => readText(compiled, { text, lang: 'en' }).intent === 'stop');
    expect(stops.filter((text) => !/contact me|text me|calling|stop/i.test(text))).toEqual([]);
    expect(stops.length).toBeLessThanOrEqual(12);
  });

  it('never stop texts for a death nobody told us of, save the few that speak of one', () => {
    const died = texts.filter((text) => readText(compiled, { text, lang: 'en' }).signs.includes('died'));
    expect(died.length).toBeLessThanOrEqual(3);
  });
});
