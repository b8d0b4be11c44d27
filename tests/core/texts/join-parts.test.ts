import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { joinParts, MISSING_PART, type PartReceived } from '../../../src/core/texts/join-parts.js';

const MINUTE = 60_000;
let serial = 0;
const part = (
  number: number,
  total: number,
  body: string,
  more: Partial<PartReceived> = {},
): PartReceived => {
  serial += 1;
  return {
    id: `row-${serial}`,
    from: '+15550100101',
    to: '+15550100000',
    body,
    part: { ref: 7, number, total },
    at: serial,
    ...more,
  };
};

describe('the parts of a long text', () => {
  test('are joined in their order, whatever the order they came in', () => {
    const { ready, waiting } = joinParts(
      [part(3, 3, 'and cold'), part(1, 3, 'his toes '), part(2, 3, 'are blue ')],
      100,
    );
    expect(waiting).toEqual([]);
    expect(ready).toMatchObject([{ body: 'his toes are blue and cold', isWhole: true, missing: [] }]);
  });

  test('wait for a missing one, then are read as far as they go, and say so', () => {
    const parts = [part(1, 3, 'his toes ', { at: 0 }), part(3, 3, 'cold', { at: MINUTE })];
    const early = joinParts(parts, 5 * MINUTE);
    expect(early.ready).toEqual([]);
    expect(early.lookAgainAt).toBe(11 * MINUTE);
    const late = joinParts(parts, 11 * MINUTE);
    expect(late.ready).toMatchObject([
      { body: `his toes ${MISSING_PART}cold`, isWhole: false, missing: [2], at: 0 },
    ]);
  });

  test('of two families, or of two texts under one reference, are not mixed', () => {
    const other = { from: '+15550100102' };
    const { ready } = joinParts(
      [
        part(1, 2, 'mine '),
        part(1, 2, 'yours ', other),
        part(2, 2, 'ends'),
        part(1, 2, 'a new '),
        part(2, 2, 'is done', other),
        part(2, 2, 'text'),
      ],
      100,
    );
    expect(ready.map((one) => one.body).sort()).toEqual(['a new text', 'mine ends', 'yours is done']);
  });

  test('a part that comes twice counts once', () => {
    const { ready } = joinParts([part(1, 2, 'a'), part(1, 2, 'a'), part(2, 2, 'b')], 100);
    expect(ready).toMatchObject([{ body: 'ab' }]);
    expect(ready[0]?.ids).toHaveLength(3);
  });

  test('no part is ever lost, and every one is in one place only', () => {
    const parts = fc.array(
      fc.record({
        number: fc.integer({ min: 0, max: 5 }),
        total: fc.integer({ min: 1, max: 4 }),
        ref: fc.nat({ max: 2 }),
        body: fc.constantFrom('a', 'b', ''),
        at: fc.nat({ max: 30 * MINUTE }),
        from: fc.constantFrom('+15550100101', '+15550100102'),
      }),
    );
    fc.assert(
      fc.property(parts, fc.nat({ max: 40 * MINUTE }), (raw, now) => {
        const given = raw.map(({ number, total, ref, body, at, from }, index) => {
          return { id: `row-${index}`, from, to: '+15550100000', body, at, part: { ref, number, total } };
        });
        const { ready, waiting } = joinParts(given, now);
        const placed = [...ready.flatMap((one) => one.ids), ...waiting.map((one) => one.id)];
        expect(placed.sort()).toEqual(given.map((one) => one.id).sort());
      }),
    );
  });
});
