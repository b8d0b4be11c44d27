import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCourseInput } from '../../../src/core/course/read-input.js';
import { anyRecord } from './any-history.js';
import { PROTOCOLS } from './example-children.js';

type Path = (string | number)[];

/** Every place in a JSON value. */
function places(value: unknown, at: Path = []): Path[] {
  if (typeof value !== 'object' || value === null) return [at];
  return [
    at,
    ...Object.entries(value).flatMap(([key, part]) =>
      places(part, [...at, Array.isArray(value) ? Number(key) : key]),
    ),
  ];
}

function replaced(value: unknown, at: Path, by: unknown): unknown {
  const [key, ...rest] = at;
  if (key === undefined) return by;
  if (Array.isArray(value)) return value.map((part, i) => (i === key ? replaced(part, rest, by) : part));
  return { ...(value as object), [key]: replaced((value as Record<string, unknown>)[key], rest, by) };
}

const odd = fc.oneof(
  fc.jsonValue(),
  fc.constantFrom<unknown>(
    null,
    '',
    'left',
    0,
    -1,
    1.5,
    1e21,
    [],
    {},
    true,
    '2026-02-30',
    '9999-12-31',
    '0000-01-01',
  ),
);

describe('whatever JSON stands on standard input', () => {
  it('is read or refused, with a path and words a person understands, and never breaks the reader', () => {
    fc.assert(
      fc.property(anyRecord, odd, fc.nat(), (record, by, where) => {
        const all = places(record);
        const given: unknown = replaced(record, all[where % all.length] ?? [], by);
        const read = readCourseInput(JSON.parse(JSON.stringify(given) ?? 'null'), PROTOCOLS);
        if (read.isValid) return;
        expect(read.faults.length).toBeGreaterThan(0);
        for (const { path, found, expected } of read.faults) {
          expect(`${path} ${expected}`).not.toMatch(/Invalid|undefined|\[object|NaN/);
          expect(found.length).toBeGreaterThan(0);
          expect(found.length).toBeLessThan(120);
          expect(expected.length).toBeGreaterThan(3);
        }
      }),
      { numRuns: 1500 },
    );
  });
});
