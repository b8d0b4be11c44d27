import { Readable, Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { runFigures } from '../../src/app/figures-command.js';
import { casts, record, TO_BRACE } from '../core/course/example-children.js';

async function run(stdin: string, ...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' };
  const sink = (to: 'out' | 'err') =>
    new Writable({
      write(chunk, _encoding, done) {
        said[to] += String(chunk);
        done();
      },
    });
  const code = await runFigures(args, {
    stdin: Readable.from([stdin]),
    stdout: sink('out'),
    stderr: sink('err'),
  });
  return { code, ...said };
}

const lines = (...records: unknown[]) => records.map((one) => JSON.stringify(one)).join('\n');
const hill = {
  ...record({ events: TO_BRACE, asOf: '2026-04-01' }),
  clinicName: 'Hill',
  wear: [{ date: '2026-03-16', low: 20, high: 22 }],
};
const lake = { ...record({ events: casts(['2026-01-05']), asOf: '2026-04-01' }), clinicName: 'Lake' };

describe('toeline figures', () => {
  it('prints a table per clinic and for all', async () => {
    const { code, out } = await run(lines(hill, lake));
    expect(code).toBe(0);
    expect(out).toContain('casts per foot                  6.00 +/- 0.00, 6 to 6 (2 feet)');
    expect(out).toContain('hours told at age 0             21.0 (1 days');
    expect(out).toContain('1 of 2: 1 in casting, 0 after the tenotomy, 0 in the brace');
    expect(out.split('\n\n').map((table) => table.split('\n')[0])).toEqual(['Hill', 'Lake', 'all']);
  });

  it('gives the curve with its limits as JSON', async () => {
    const { out } = await run(lines(hill, lake), '--json');
    const all = JSON.parse(out)[2];
    expect(all.dropout.curve[0]).toMatchObject({ time: 21, atRisk: 2, events: 1, survival: 0.5 });
    expect(all.dropout.curve[0].low).toBeGreaterThan(0);
  });

  it('lists every wrong line and writes nothing else', async () => {
    const { code, out, err } = await run(
      `${lines(hill)}\nnot json\n${lines({ ...lake, asOf: 'x' }, { ...hill, wear: [{ date: 'x', low: 1, high: 2 }] })}`,
    );
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('line 2: not one JSON object');
    expect(err).toContain('line 3: asOf: found "x"');
    expect(err).toContain('line 4: wear.0.date');
    expect((await run('', '--quarter', '2026')).code).toBe(2);
  });
});
