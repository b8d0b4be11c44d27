import { describe, expect, it } from 'vitest';
import { explainRule } from '../../../src/core/triage/explain.js';
import { rules } from '../conversation/family.js';

describe('the rule behind a flag', () => {
  it('is explained by what must hold, until when, and from where it comes', () => {
    expect(explainRule(rules, 'fever-under-3-months')).toMatchObject({
      urgency: 'now',
      limitMinutes: 15,
      when: ['one of fever', 'age 0 to under 3 months', 'measured 38 °C or more, or not measured'],
      sources: expect.arrayContaining([expect.stringContaining('NICE NG143')]),
    });
  });

  it('has words for every condition and a source for every rule', () => {
    for (const { id } of rules.rules) {
      const explained = explainRule(rules, id);
      expect(explained?.when.length, id).toBeGreaterThan(0);
      expect(explained?.sources.length, id).toBeGreaterThan(0);
    }
  });

  it('is null for a flag that no rule of the file raised', () => {
    expect(explainRule(rules, 'no-visit-planned')).toBeNull();
  });
});
