import { describe, expect, it } from 'vitest';
import { drawCheckIn } from '../../../src/core/conversation/picture/draw.js';
import { CARD_WIDTH, layOut } from '../../../src/core/conversation/picture/layout.js';
import { definitions, messages } from './family.js';

const all = Object.values(definitions.current);

describe('the picture of a check-in', () => {
  it.each(all.map((one) => [one.name, one] as const))(
    '%s shows every question, answer and end',
    (_, definition) => {
      const svg = drawCheckIn(definition);
      for (const name of [...Object.keys(definition.questions), ...Object.keys(definition.ends)]) {
        expect(svg).toContain(`>${name}`);
      }
      const answers = Object.values(definition.questions).flatMap((question) =>
        Object.keys(question.answers),
      );
      expect(svg.match(/marker-end/g)).toHaveLength(answers.length);
      for (const name of answers) expect(svg).toContain(`${name}</text>`);
    },
  );

  it('has no two cards on top of each other, and all inside its edges', () => {
    for (const definition of all) {
      const { cards, width, height } = layOut(definition, 'en');
      for (const card of cards) {
        expect(card.x + CARD_WIDTH).toBeLessThanOrEqual(width);
        expect(card.y + card.height).toBeLessThanOrEqual(height);
        for (const other of cards) {
          if (other === card || other.x !== card.x) continue;
          const isApart = other.y >= card.y + card.height || card.y >= other.y + other.height;
          expect(isApart, `${definition.name}: ${card.id} and ${other.id}`).toBe(true);
        }
      }
    }
  });

  it('can be drawn in every language, and lets no text break out of the picture', () => {
    for (const language of Object.keys(messages)) {
      const svg = drawCheckIn(definitions.current['cast-day'], language);
      expect(svg).toContain('</svg>');
    }
    const copy = structuredClone(definitions.current['skin-check']);
    (copy.wordings as Record<string, Record<string, string>>)['ask-skin'] = {
      en: '<script>alert(1)</script> & "x"',
    };
    expect(drawCheckIn(copy)).not.toContain('<script');
    expect(drawCheckIn(copy)).toContain('&lt;script&gt;');
  });

  it('has a title and a description in words', () => {
    const svg = drawCheckIn(definitions.current['cast-mid']);
    expect(svg).toMatch(/<title id="t">cast-mid<\/title>/);
    expect(svg).toContain('toes: 1: fine leads to cast;');
  });
});
