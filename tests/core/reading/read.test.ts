import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold } from '../../../src/core/reading/normalise.js';
import { readText } from '../../../src/core/reading/read.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';

const compiled = loadLanguages(fileURLToPath(new URL('../../../flows', import.meta.url)));
const inCast = (text: string, lang = 'en') =>
  readText(compiled, { text, lang, phase: 'cast', asked: 'open' });

describe('readText', () => {
  it.each([
    ['his toes are blue and cold', ['toes-discoloured', 'toes-cold'], 'now'],
    ['toes r not blue not cold', [], 'none'],
    ['the toes were swollen yesterday but fine now', [], 'none'],
    ['what if his toes turn blue?', [], 'soon'],
    ['plaster got wet in the bath', ['cast-wet'], 'today'],
    ['he wont stop crying', ['pain'], 'today'],
  ])('reads "%s"', (text, signs, urgency) => {
    const reading = inCast(text);
    expect(reading.signs).toEqual(signs);
    expect(reading.urgency).toBe(urgency);
  });

  it.each([
    ['STOP', 'stop'],
    ['stop.', 'stop'],
    ['Please stop sending me messages', 'stop'],
    ['he wont stop crying', null],
  ])('takes "%s" for an opt-out only when it is one', (text, intent) => {
    expect(inCast(text).intent).toBe(intent);
  });

  it('never throws, keeps evidence inside the text and on code points, and says the same twice', () => {
    const words = [
      'toes',
      'blue',
      'not',
      'stop',
      '8pm',
      'to',
      '6',
      'é',
      '👶🏽',
      'ﷺ',
      'क्षि',
      'لا',
      '🥶',
      '...',
      "d'",
      '\ud83d',
    ];
    const text = fc.oneof(
      fc.string({ unit: 'grapheme' }),
      fc.string({ unit: 'binary' }),
      fc.array(fc.constantFrom(...words)).map((list) => list.join(' ')),
    );
    fc.assert(
      fc.property(text, (sample) => {
        const reading = inCast(sample);
        for (const { start, end } of [...reading.evidence, ...reading.unread]) {
          expect(start).toBeGreaterThanOrEqual(0);
          expect(end).toBeLessThanOrEqual(sample.length);
          expect(start).toBeLessThan(end);
          expect(isInsidePair(sample, start) || isInsidePair(sample, end)).toBe(false);
        }
        expect(inCast(sample)).toEqual(reading);
      }),
      { numRuns: 500 },
    );
  });
});

function isInsidePair(text: string, at: number): boolean {
  const before = text.charCodeAt(at - 1);
  const here = text.charCodeAt(at);
  return before >= 0xd800 && before <= 0xdbff && here >= 0xdc00 && here <= 0xdfff;
}

describe('fold', () => {
  it('keeps a way back to the original for every unit', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const folded = fold(text);
        expect(folded.starts.length).toBe(folded.text.length);
        expect(folded.ends.length).toBe(folded.text.length);
        folded.starts.forEach((start, at) => {
          expect(start).toBeLessThan(folded.ends[at] ?? 0);
        });
      }),
    );
  });
});
