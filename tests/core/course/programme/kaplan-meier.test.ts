import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  kaplanMeier,
  medianTime,
  type Observed,
  shareOf,
  survivalAt,
} from '../../../../src/core/course/programme/kaplan-meier.js';

/** "6+" is censored at 6. */
const observed = (text: string): Observed[] =>
  text.split(/, ?/).map((one) => ({ time: Number.parseFloat(one), isEvent: !one.endsWith('+') }));
const rounded = (text: string) =>
  kaplanMeier(observed(text)).map((step) => [step.time, step.atRisk, Number(step.survival.toFixed(3))]);

describe('Kaplan-Meier', () => {
  it('gives the table of a published worked example', () => {
    // Bewick V et al. Crit Care 2004;8:389, table 2.
    expect(rounded('1, 1, 4, 5, 6+, 9, 9+, 22').map(([time, , survival]) => [time, survival])).toEqual([
      [1, 0.75],
      [4, 0.625],
      [5, 0.5],
      [9, 0.333],
      [22, 0],
    ]);
  });

  const SIX_MP = '6,6,6,7,10,13,16,22,23,6+,9+,10+,11+,17+,19+,20+,25+,32+,32+,34+,35+';

  it('gives the best known published table: 21 children, remission in weeks', () => {
    // Freireich EJ et al. Blood 1963;21:699-716.
    expect(rounded(SIX_MP)).toEqual([
      [6, 21, 0.857],
      [7, 17, 0.807],
      [10, 15, 0.753],
      [13, 12, 0.69],
      [16, 11, 0.627],
      [22, 7, 0.538],
      [23, 6, 0.448],
    ]);
    expect(medianTime(kaplanMeier(observed(SIX_MP)))).toBe(23);
  });

  it('gives the same confidence limits as a reference library for it', () => {
    // SciPy 1.17.1, stats.ecdf, confidence_interval(method="log-log").
    const limits = kaplanMeier(observed(SIX_MP)).map((step) => [step.low?.toFixed(4), step.high?.toFixed(4)]);
    expect(limits).toEqual([
      ['0.6197', '0.9516'],
      ['0.5631', '0.9228'],
      ['0.5032', '0.8894'],
      ['0.4316', '0.8491'],
      ['0.3675', '0.8049'],
      ['0.2678', '0.7468'],
      ['0.1881', '0.6801'],
    ]);
  });

  it('agrees with the reference library on sixteen random sets', () => {
    const file = join(import.meta.dirname, '../../../reference/kaplan-meier-scipy.json');
    const { sets } = JSON.parse(readFileSync(file, 'utf8')) as {
      sets: { times: number[]; isEvent: boolean[]; rows: [number, number, number | null, number | null][] }[];
    };
    expect(sets).toHaveLength(16);
    for (const { times, isEvent, rows } of sets) {
      const steps = kaplanMeier(times.map((time, i) => ({ time, isEvent: isEvent[i] === true })));
      expect(steps.map((step) => step.time)).toEqual(rows.map(([time]) => time));
      steps.forEach((step, i) => {
        const [, survival, low, high] = rows[i] ?? [0, 0, null, null];
        expect(step.survival).toBeCloseTo(survival, 8);
        if (low === null || high === null) expect([step.low, step.high]).toEqual([null, null]);
        else {
          expect(step.low).toBeCloseTo(low, 8);
          expect(step.high).toBeCloseTo(high, 8);
        }
      });
    }
  });

  it('never rises, stays between its limits and is the plain share when nobody is censored', () => {
    const any = fc.array(fc.record({ time: fc.nat({ max: 50 }), isEvent: fc.boolean() }), {
      minLength: 1,
      maxLength: 60,
    });
    fc.assert(
      fc.property(any, (set) => {
        let last = 1;
        for (const step of kaplanMeier(set)) {
          expect(step.survival).toBeLessThanOrEqual(last);
          last = step.survival;
          if (step.low !== null && step.high !== null)
            expect(
              step.low <= step.survival && step.survival <= step.high && step.low >= 0 && step.high <= 1,
            ).toBe(true);
        }
        const plain = set.map((one) => ({ ...one, isEvent: true }));
        for (const step of kaplanMeier(plain))
          expect(step.survival).toBeCloseTo(
            plain.filter((one) => one.time > step.time).length / plain.length,
          );
      }),
      { numRuns: 200 },
    );
  });

  it('holds a step up to the next', () => {
    const steps = kaplanMeier(observed('1, 1, 4, 5, 6+, 9, 9+, 22'));
    expect(survivalAt(steps, 0.5)).toBeNull();
    expect(survivalAt(steps, 4.9)?.survival).toBe(0.625);
  });
});

describe('a share', () => {
  it('has Wilson limits', () => {
    // Newcombe RG. Stat Med 1998;17:857-872, table I: 81 of 263, method 3 (score): 0.2553 to 0.3662.
    const { low, high } = shareOf(81, 263);
    expect([low?.toFixed(4), high?.toFixed(4)]).toEqual(['0.2553', '0.3662']);
    expect(shareOf(0, 0).share).toBeNull();
  });
});
