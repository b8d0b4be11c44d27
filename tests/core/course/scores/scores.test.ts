import { describe, expect, it } from 'vitest';
import { delayedScore } from '../../../../src/core/course/scores/delayed-presenting.js';
import {
  dimeglioBeforeCasts,
  dimeglioPoints,
  dimeglioScore,
} from '../../../../src/core/course/scores/dimeglio.js';
import { piraniBeforeCasts, piraniScore, scorePerCast } from '../../../../src/core/course/scores/pirani.js';
import type { DimeglioParts, PiraniSigns } from '../../../../src/core/model/course-events.js';

const signs = (pc: number, eh: number, re: number, clb: number, mc: number, lht: number) =>
  ({
    posteriorCrease: pc,
    emptyHeel: eh,
    rigidEquinus: re,
    curvedLateralBorder: clb,
    medialCrease: mc,
    lateralHeadOfTalus: lht,
  }) as PiraniSigns;
const said = (found: readonly { says: string }[]) => found.map((one) => one.says).join('; ');

describe('Pirani score', () => {
  // Dyer PJ, Davis N. J Bone Joint Surg Br 2006;88-B(8).
  it('adds up hindfoot and midfoot', () => {
    expect(piraniScore(signs(0.5, 1, 1, 0.5, 0.5, 0))).toEqual({ hindfoot: 2.5, midfoot: 1, total: 3.5 });
    expect(piraniScore(signs(1, 1, 1, 1, 1, 1))).toEqual({ hindfoot: 3, midfoot: 3, total: 6 });
    expect(piraniScore(4.5)).toEqual({ hindfoot: null, midfoot: null, total: 4.5 });
  });

  it('a foot may at once look like few casts and like a tenotomy', () => {
    const found = said(piraniBeforeCasts(signs(0.5, 1, 1, 0.5, 0.5, 0)));
    expect(found).toContain('three casts or fewer');
    expect(found).toContain('72 % chance of a tenotomy');
    expect(said(piraniBeforeCasts(signs(1, 1, 1, 1, 1, 1)))).toContain('four casts or more');
  });

  it('five points or more: 23 of 27 had a tenotomy', () => {
    // Scher DM et al. J Pediatr Orthop 2004.
    expect(said(piraniBeforeCasts(5))).toContain('85.2 % (23 of 27)');
    expect(said(piraniBeforeCasts(4.5))).not.toContain('85.2');
    expect(((23 / 27) * 100).toFixed(1)).toBe('85.2');
  });

  it('4.5 points and six casts give a ratio of 0.75, a group in which 57.1 % relapsed', () => {
    // J Pediatr Orthop 2018;38(10):514-520.
    expect(scorePerCast(4.5, 6)?.ratio).toBe(0.75);
    expect(scorePerCast(4.5, 6)?.published?.says).toContain('57.1 % (24 of 42)');
    expect(((24 / 42) * 100).toFixed(1)).toBe('57.1');
    expect(scorePerCast(6, 6)?.published).toBeNull();
    expect(scorePerCast(6, 0)).toBeNull();
  });

  it('never speaks without a spread and a study', () => {
    for (let total = 0; total <= 6; total += 0.5)
      for (const found of piraniBeforeCasts(total)) {
        expect(found.spread.length).toBeGreaterThan(10);
        expect(found.source).toMatch(/J |surgical/);
      }
  });
});

describe('Dimeglio score', () => {
  const parts = (four: readonly number[], extras: number): DimeglioParts => ({
    equinus: four[0] ?? 0,
    varus: four[1] ?? 0,
    derotation: four[2] ?? 0,
    adduction: four[3] ?? 0,
    posteriorCrease: extras > 0,
    medialCrease: extras > 1,
    cavus: extras > 2,
    poorMuscle: extras > 3,
  });

  it('grades by limits fixed in one place', () => {
    // Dimeglio A et al. J Pediatr Orthop B 1995;4:129-136 (limits from memory).
    expect(dimeglioScore(parts([3, 3, 3, 2], 3))).toMatchObject({ total: 14, grade: 'III', word: 'severe' });
    expect(dimeglioScore(parts([4, 4, 3, 3], 1))).toMatchObject({
      total: 15,
      grade: 'IV',
      word: 'very severe',
    });
    expect([4, 5, 9, 10, 20].map((total) => dimeglioScore(total).grade)).toEqual([
      'I',
      'II',
      'II',
      'III',
      'IV',
    ]);
  });

  it('turns residual angles into points', () => {
    expect([90, 46, 45, 21, 20, 1, 0, -19, -20, -30].map(dimeglioPoints)).toEqual([
      4, 4, 3, 3, 2, 2, 1, 1, 0, 0,
    ]);
  });

  it('says what each derotation point went with, and the risk of very severe feet', () => {
    expect(said(dimeglioBeforeCasts(parts([4, 4, 3, 3], 1)))).toContain('1.30 times');
    expect(said(dimeglioBeforeCasts(15))).toContain('5.75 times');
    expect(said(dimeglioBeforeCasts(14))).not.toContain('5.75');
  });
});

describe('score of a child who comes late', () => {
  // Strategies Trauma Limb Reconstr 2018, doi 10.1007/s11751-018-0324-z.
  const angles = { plantaris: 50, adductus: 25, varus: 10, equinus: 46, rotation: 30 };
  it('weighs the same angles more at nine years than at six', () => {
    expect(delayedScore(angles, 6)?.score).toBe(16.5);
    expect(delayedScore(angles, 6)?.published.says).toBe('not above 18');
    expect(delayedScore(angles, 9)?.score).toBe(22);
    expect(delayedScore(angles, 9)?.published.says).toContain('likely to resist');
    expect(delayedScore(angles, 1)).toBeNull();
  });
});
