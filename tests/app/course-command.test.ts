import { Readable, Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { runCourse } from '../../src/app/course-command.js';
import { record, TO_BRACE } from '../core/course/example-children.js';

async function run(
  stdin: string | Buffer,
  ...args: string[]
): Promise<{ code: number; out: string; err: string }> {
  let out = '';
  let err = '';
  const sink = (write: (text: string) => void) =>
    new Writable({
      write(chunk, _encoding, done) {
        write(String(chunk));
        done();
      },
    });
  const stdout = sink((text) => {
    out += text;
  });
  const stderr = sink((text) => {
    err += text;
  });
  const code = await runCourse(args, { stdin: Readable.from([Buffer.from(stdin)]), stdout, stderr });
  return { code, out, err };
}

describe('toeline course', () => {
  it('writes one JSON object with the fields of its contract', async () => {
    const { code, out, err } = await run(JSON.stringify(record({ events: TO_BRACE, asOf: '2026-03-10' })));
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const course = JSON.parse(out);
    for (const key of ['phase', 'phases', 'visits', 'wearTarget', 'texts', 'alerts'])
      expect(course).toHaveProperty(key);
    expect(Object.keys(course.phases[0]).sort()).toEqual(['from', 'phase', 'to']);
    expect(course.visits[0]).toMatchObject({ kind: 'first-visit', status: 'kept' });
    expect(out.endsWith('}\n')).toBe(true);
    expect(out.split('\n')).toHaveLength(2);
  });

  it('lists every problem with its path on standard error, writes nothing else and answers 2', async () => {
    const given = record({ asOf: '2026-03-10', timeZone: 'Nowhere', born: '2026-02-30' });
    const { code, out, err } = await run(JSON.stringify(given));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err.trim().split('\n')).toEqual([
      'child.born: found "2026-02-30"; expected a date "YYYY-MM-DD" that exists in the calendar',
      'clinic.timeZone: found "Nowhere"; expected a name of the IANA time zone database such as "Africa/Kampala"',
    ]);
  });

  it.each([
    ['nothing', '', 'found nothing'],
    ['text that is not JSON', '{"child":', 'not one JSON object'],
    ['two objects', '{} {}', 'not one JSON object'],
    ['bytes that are not UTF-8', Buffer.from([0x7b, 0xff, 0x7d]), 'not UTF-8'],
    ['a list', '[]', 'expected an object'],
  ])('refuses %s', async (_what, stdin, words) => {
    const { code, out, err } = await run(stdin);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(words);
  });

  it('accepts a byte order mark before the object', async () => {
    expect((await run(`\uFEFF${JSON.stringify(record({ asOf: '2026-03-10' }))}`)).code).toBe(0);
  });

  it('takes an instant for asOf and uses the clinic’s own date', async () => {
    const given = {
      ...record({ asOf: '2026-03-10', timeZone: 'Asia/Kolkata' }),
      asOf: '2026-03-09T20:00:00Z',
    };
    expect(JSON.parse((await run(JSON.stringify(given))).out).asOf).toBe('2026-03-10');
  });

  it('answers an unknown option with a hint', async () => {
    const { code, err } = await run('{}', '--fast');
    expect(code).toBe(2);
    expect(err).toContain('--help');
    expect((await run('', '--help')).out).toContain('toeline course');
  });
});
