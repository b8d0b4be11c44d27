import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encodeSubmit, readSubmit } from '../../../../src/core/texts/pdu/submit.js';
import { segments } from '../../../../src/core/texts/segments.js';
import { madeSureOf, succeeds } from '../../../gateways/reference-tool.js';

const PYTHON = '/usr/bin/python3';
const script = fileURLToPath(new URL('judge-with-gammu.py', import.meta.url));

const why = madeSureOf('python3-gammu', () => succeeds(PYTHON, '-c', 'import gammu'));

interface Answer {
  readonly text?: string;
  readonly pdus?: readonly string[];
}
function gammu(questions: readonly object[]): Answer[] {
  const input = questions.map((one) => `${JSON.stringify(one)}\n`).join('');
  const out = execFileSync(PYTHON, [script], { input, maxBuffer: 50_000_000 }).toString('utf8');
  return out
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Answer);
}

const letters = fc.oneof(
  fc.string({ unit: fc.constantFrom(...'abcdeXYZ 0123.,?éèñÄ€[]{}~^|@£_'), minLength: 1, maxLength: 420 }),
  fc.string({ unit: fc.constantFrom(...'ሰላምነው ቀን የልጅዎabc?'), minLength: 1, maxLength: 220 }),
  fc.string({ unit: fc.constantFrom(...'पैर नीला है', '👍', '😀', 'a'), minLength: 1, maxLength: 150 }),
);
const texts = fc
  .sample(letters, { numRuns: 400, seed: 7 })
  // gammu takes trailing blanks and NULs for padding, so texts here end in a letter.
  .map((text) => `${text}z`);

// Reference: gammu 1.42.0 through python3-gammu 3.2.4 (Debian).
describe.skipIf(why !== undefined)(`PDUs and gammu${why ? ` (skipped: ${why})` : ''}`, () => {
  test('gammu reads 400 random texts of ours as they were written', () => {
    const questions = texts.map((body) => ({
      read: encodeSubmit({ to: '+254700000001', body, reference: 9, wantsReport: true }).map(
        (one) => one.hex,
      ),
    }));
    expect(gammu(questions).map((one) => one.text)).toEqual(texts);
  });

  test('we read 400 random texts of gammu’s as they were written, in as many parts as we would take', () => {
    const questions = texts.map((body) => ({ write: body, wide: segments(body).encoding === 'ucs-2' }));
    for (const [index, { pdus }] of gammu(questions).entries()) {
      const body = texts[index] ?? '';
      const read = (pdus ?? []).map((hex) => readSubmit(hex).text).join('');
      expect(read).toBe(body);
      // Gammu counts a part's room in characters as well, so near an edge it may take one part more.
      expect((pdus?.length ?? 0) - segments(body).parts.length).toBeGreaterThanOrEqual(0);
      expect((pdus?.length ?? 0) - segments(body).parts.length).toBeLessThanOrEqual(1);
    }
  });
});
