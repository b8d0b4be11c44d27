import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { PATTERNS, simulatePattern, wearRow } from '../../src/app/wear-simulation.js';

const readme = readFileSync(join(import.meta.dirname, '../../src/core/course/wear/README.md'), 'utf8');
const rowsOf = (text: string) =>
  text
    .split('\n')
    .filter((line) => line.startsWith('| '))
    .map((line) =>
      line
        .split('|')
        .map((cell) => cell.trim())
        .join('|'),
    );
const run = (pattern: number, answers: number, nightDays: number) => {
  const chosen = PATTERNS[pattern];
  if (chosen === undefined) throw new Error('no such pattern');
  return simulatePattern(chosen, answers, { fullTimeDays: 7, nightDays }, 400, 1);
};

describe('the table of how soon a lapse is seen', () => {
  it('in the README is what the simulation gives', () => {
    const rows = rowsOf(readme);
    for (const [pattern, answers, nightDays] of [
      [0, 0.7, 30],
      [4, 0.35, 30],
      [7, 0.7, 14],
      [11, 0.35, 14],
    ] as const)
      expect(rows).toContain(rowsOf(wearRow(run(pattern, answers, nightDays)))[0]);
  });

  it('shows a family that stops and says so within three weeks in the full-time months', () => {
    const result = run(2, 0.7, 30);
    expect(result.foundIn60).toBe(1);
    expect(result.ninetiethDays ?? 99).toBeLessThanOrEqual(21);
  });

  it('raises fewer than two flags a year on families who wear well', () => {
    for (const pattern of [0, 1]) expect(run(pattern, 0.7, 30).falsePerYear).toBeLessThan(2);
  });
});
