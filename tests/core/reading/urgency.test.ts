import { describe, expect, it } from 'vitest';
import { urgencyOf } from '../../../src/core/reading/urgency.js';
import { loadReadingData } from '../../../src/flows/reading-data.js';

const { urgency: table } = loadReadingData(new URL('../../../flows', import.meta.url).pathname);
const weigh = (phase: 'cast' | 'brace-night' | null, leastHours: number | null = null) =>
  urgencyOf(table, {
    signs: new Set(leastHours === null ? ['toes-discoloured'] : []),
    intent: null,
    phase,
    leastHours,
    marks: new Set(),
  });

describe('how urgent a text is', () => {
  it('takes a phase nobody told for the strictest one', () => {
    expect(weigh('brace-night')).toBe('today');
    expect(weigh('cast')).toBe('now');
    expect(weigh(null)).toBe('now');
  });

  it('makes nothing of few hours when nobody told the phase', () => {
    expect(weigh('brace-night', 3)).toBe('soon');
    expect(weigh(null, 3)).toBe('none');
  });
});
