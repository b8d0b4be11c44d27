import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readText } from '../../../src/core/reading/read.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';

const compiled = loadLanguages(fileURLToPath(new URL('../../../flows', import.meta.url)));

const PIECES = [
  'not ',
  'was red. fine ',
  'not blue or ',
  'toes blue, ',
  'what if blue? ',
  '8 to 6 ',
  '1 ',
  '555 12 ',
  'my mother has fever ',
  'no smell and ',
  'a',
  'a1',
  '\u0301',
  '\u0928\u094d\u0926',
  '🥶',
];

const millisecondsFor = (text: string): number => {
  const read = () => readText(compiled, { text, lang: 'en', phase: 'brace-night', asked: 'hours' });
  read();
  const times = Array.from({ length: 3 }, () => {
    const before = process.cpuUsage();
    read();
    const used = process.cpuUsage(before);
    return (used.user + used.system) / 1000;
  });
  return Math.min(...times);
};

describe('the time a text takes', () => {
  // Eight times the text may take eight times as long and some, never sixty-four times (which quadratic work would).
  it.each(PIECES)('grows with the length of the text and not with its square (%j repeated)', (piece) => {
    const of = (length: number) => piece.repeat(Math.ceil(length / piece.length)).slice(0, length);
    millisecondsFor(of(20_000));
    const short = Math.max(millisecondsFor(of(2_500)), 0.5);
    expect(millisecondsFor(of(20_000))).toBeLessThan(short * 30);
  });
});
