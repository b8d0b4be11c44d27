import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { dangerRows, dangerTable } from '../../../src/core/triage/danger-table.js';
import { rules } from '../conversation/family.js';

const README = new URL('../../../flows/triage.md', import.meta.url).pathname;
const BEGIN = '<!-- table: written by the test of the danger table with WRITE_TABLES=1 -->';

describe('the table of published danger signs', () => {
  it('stands beside the rules as the rules are now (WRITE_TABLES=1 writes it)', () => {
    const table = dangerTable(rules);
    const [before] = readFileSync(README, 'utf8').split(BEGIN);
    const wanted = `${before}${BEGIN}\n\n${table}`;
    if (process.env.WRITE_TABLES === '1') writeFileSync(README, wanted);
    expect(readFileSync(README, 'utf8')).toBe(wanted);
  });

  it('names a source in every row and holds at least thirty signs', () => {
    const rows = dangerRows(rules);
    expect(rows.length).toBeGreaterThanOrEqual(30);
    for (const { sources } of rows) expect(sources.length).toBeGreaterThan(0);
  });

  it('keeps every danger sign of a cast that a leaflet calls urgent within fifteen minutes', () => {
    const urgent = dangerRows(rules).filter(({ rule }) => rule.urgency === 'now');
    expect(urgent.every(({ limitMinutes }) => limitMinutes <= 15)).toBe(true);
    expect(urgent.map(({ rule }) => rule.id)).toEqual(
      expect.arrayContaining([
        'toes-in-cast',
        'cast-slipped',
        'pain-over-two-hours',
        'bleeding',
        'fever-under-3-months',
      ]),
    );
  });
});
