import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { ownTexts } from '../../../src/app/labelled-texts.js';
import { scoreTexts } from '../../../src/app/read-score.js';
import type { Score } from '../../../src/core/reading/score.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';

const compiled = loadLanguages(fileURLToPath(new URL('../../../flows', import.meta.url)));
const { byLanguage } = scoreTexts(compiled, ownTexts('kept-aside'));
const isLoaded = (code: string) => compiled.packs.some((pack) => pack.code === code);

/**
 * The least each language must reach on the texts kept aside, in per cent, a little below what it reaches now: a change
 * that makes reading worse fails here. `under` and `fine` are the most that may be.
 */
const LEAST: Readonly<
  Record<string, { now: number; today: number; under: number; fine: number; hours: number; intents: number }>
> = {
  en: { now: 93, today: 89, under: 5, fine: 4, hours: 97, intents: 94 },
  es: { now: 95, today: 97, under: 2, fine: 6, hours: 97, intents: 95 },
  fr: { now: 99, today: 99, under: 1, fine: 2, hours: 99, intents: 98 },
  pt: { now: 99, today: 97, under: 2, fine: 2, hours: 98, intents: 98 },
  sw: { now: 99, today: 97, under: 2, fine: 4, hours: 99, intents: 97 },
  hi: { now: 99, today: 96, under: 2, fine: 5, hours: 98, intents: 97 },
  bn: { now: 96, today: 98, under: 2, fine: 5, hours: 98, intents: 97 },
  id: { now: 99, today: 99, under: 1, fine: 2, hours: 99, intents: 98 },
};

const percent = (part: number, whole: number) => (whole === 0 ? 100 : (100 * part) / whole);

function figures(score: Score) {
  return {
    now: percent(score.nowCaught, score.nowLabelled),
    today: percent(score.todayCaught, score.todayLabelled),
    under: percent(score.under, score.texts),
    fine: percent(score.fineRaised, score.fineLabelled),
    hours: percent(score.hoursRight, score.texts),
    intents: percent(score.intentRight, score.texts),
  };
}

describe('the texts kept aside', () => {
  it.each(Object.entries(LEAST))('are read no worse than before in %s', (code, least) => {
    expect(isLoaded(code)).toBe(true);
    const score = byLanguage.get(code);
    expect(score?.texts ?? 0).toBeGreaterThan(40);
    if (!score) return;
    const now = figures(score);
    expect(now.now).toBeGreaterThanOrEqual(least.now);
    expect(now.today).toBeGreaterThanOrEqual(least.today);
    expect(now.under).toBeLessThanOrEqual(least.under);
    expect(now.fine).toBeLessThanOrEqual(least.fine);
    expect(now.hours).toBeGreaterThanOrEqual(least.hours);
    expect(now.intents).toBeGreaterThanOrEqual(least.intents);
  });

  it('hold every language that is loaded to a least', () => {
    expect(compiled.packs.map((pack) => pack.code).filter((code) => !(code in LEAST))).toEqual([]);
  });
});
