import fc from 'fast-check';
import { expect, test } from 'vitest';
import { SIGNS } from '../../src/core/model/signs.js';
import { piecesOf } from '../../src/web/marked.js';

const evidence = fc.array(
  fc.record({
    sign: fc.constantFrom(...SIGNS),
    start: fc.integer({ min: -5, max: 60 }),
    end: fc.integer({ min: -5, max: 60 }),
  }),
  { maxLength: 8 },
);

test('whatever is marked, the pieces joined are the text the family wrote', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', maxLength: 40 }), evidence, (text, spans) => {
      expect(
        piecesOf(text, spans)
          .map((piece) => piece.text)
          .join(''),
      ).toBe(text);
    }),
  );
});

test('a character is marked exactly when some evidence covers it', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 40 }), evidence, (text, spans) => {
      const marked = piecesOf(text, spans).flatMap((piece) =>
        [...piece.text].map(() => piece.signs.length > 0),
      );
      const covered = [...text].map((_c, i) => spans.some((span) => span.start <= i && i < span.end));
      expect(marked).toEqual(covered);
    }),
  );
});

test('"toes" that two signs share is one mark with both', () => {
  const pieces = piecesOf('toes are blue', [
    { sign: 'toes-discoloured', start: 0, end: 13 },
    { sign: 'toes-cold', start: 0, end: 4 },
  ]);
  expect(pieces).toEqual([{ text: 'toes are blue', signs: ['toes-discoloured', 'toes-cold'] }]);
});
