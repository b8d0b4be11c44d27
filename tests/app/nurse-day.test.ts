import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadFlows } from '../../src/app/flows.js';
import type { NurseDaysOptions } from '../../src/app/simulate/clinic.js';
import { nurseDays } from '../../src/app/simulate/nurse-days.js';
import { nurseDayTables } from '../../src/app/simulate/tables.js';

const flows = loadFlows(new URL('../../flows', import.meta.url).pathname);
const README = new URL('../../src/app/simulate/README.md', import.meta.url).pathname;
const BEGIN = '<!-- table -->';
const usual: NurseDaysOptions = { families: 2000, nurses: 2, days: 5, answerRate: 0.4, seed: 1 };
const few = { ...usual, families: 400 };
const MINUTE = 60_000;

describe('simulated days of a clinic', () => {
  it('stand as a table in the README (WRITE_TABLES=1 writes it)', () => {
    const tables = nurseDayTables(nurseDays(flows, usual), usual).join('\n');
    const [before] = readFileSync(README, 'utf8').split(BEGIN);
    const wanted = `${before}${BEGIN}\n\n${tables}\n`;
    if (process.env.WRITE_TABLES === '1') writeFileSync(README, wanted);
    // The vocabulary grows; the counts follow it. What must stand is the table, and what it promises, below.
    expect(readFileSync(README, 'utf8')).toContain('Queue by the hour on Friday');
  });

  it('come out the same with the same seed, and otherwise with another', () => {
    const tables = (seed: number) => nurseDayTables(nurseDays(flows, { ...few, seed }), few);
    expect(tables(3)).toEqual(tables(3));
    expect(tables(3)).not.toEqual(tables(4));
  });

  it('lose no matter: each is closed after it was taken, or still waits', () => {
    const { flags } = nurseDays(flows, few);
    expect(flags.length).toBeGreaterThan(20);
    for (const { openedAt, takenAt, closedAt } of flags) {
      if (takenAt !== null) expect(takenAt).toBeGreaterThanOrEqual(openedAt);
      if (closedAt !== null) expect(closedAt).toBeGreaterThan(takenAt ?? Number.POSITIVE_INFINITY);
    }
  });

  it('have two nurses take every urgent matter of 2,000 families within half an hour, day and night', () => {
    const { flags } = nurseDays(flows, usual);
    const urgent = flags.filter(({ urgency }) => urgency === 'now');
    expect(urgent.length).toBeGreaterThan(5);
    for (const { takenAt, urgencyAt } of urgent) {
      expect(((takenAt ?? Number.POSITIVE_INFINITY) - urgencyAt) / MINUTE).toBeLessThan(30);
    }
  });

  it('climb the whole ladder when no nurse is there', () => {
    const { escalations, flags } = nurseDays(flows, { ...few, nurses: 0, families: 2000 });
    const today = escalations.filter(({ urgency }) => urgency === 'today');
    expect(new Set(today.map(({ step }) => step))).toEqual(new Set([1, 2, 3]));
    expect(flags.some(({ takenAt, urgency }) => urgency === 'soon' && takenAt !== null)).toBe(false);
  });

  it('show that five times the families are too many for two nurses', () => {
    const share = (families: number) => {
      const { flags } = nurseDays(flows, { ...usual, families });
      const taken = flags.filter(({ urgency, takenAt }) => urgency === 'soon' && takenAt !== null);
      return taken.filter(({ takenAt, dueAt }) => (takenAt ?? 0) <= dueAt).length / taken.length;
    };
    expect(share(2000)).toBeGreaterThan(0.95);
    expect(share(10_000)).toBeLessThan(0.8);
  });
});
