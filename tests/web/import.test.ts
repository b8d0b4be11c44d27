import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { ClinicId } from '../../src/core/model/ids.js';
import { readCsv, writeCsv } from '../../src/web/csv.js';
import { type PlainBrowser, signedIn } from './browser.js';
import { clinicIn, familyIn, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

let world: World;
let clinic: ClinicId;
let browser: PlainBrowser;

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  clinic = await clinicIn(world);
  browser = await signedIn(world, await staffIn(world, clinic));
});
afterAll(() => world.close());

const HEAD = 'child,born,feet,guardian,number,relation,language,consent_on,consent_by';
const row = (i: number) =>
  `Child${i},2025-12-${String(1 + (i % 28)).padStart(2, '0')},${['left', 'right', 'both'][i % 3]},Mother ${i},+1555${String(1_000_000 + i)},mother,en,2026-03-01,Wema`;

const children = async () =>
  (await world.store.db.selectFrom('child').select('id').where('clinic_id', '=', clinic).execute()).length;

describe('a list', () => {
  test('of five thousand families with 300 bad rows is checked line by line and nothing is enrolled', async () => {
    const lines = Array.from({ length: 5_000 }, (_unused, i) => {
      if (i % 50 === 7) return row(i).replace(/,left|,right|,both/, ',middle');
      if (i % 50 === 19) return row(i).replace(/\+1555\d+/, '12');
      if (i % 50 === 31) return row(i).replace('2026-03-01', '');
      return row(i);
    });
    const form = await browser.get('/enrol/list');
    const before = await children();
    const started = performance.now();
    const page = await browser.post(
      '/enrol/list',
      { list: [HEAD, ...lines].join('\r\n'), do: 'enrol' },
      form,
    );
    const took = performance.now() - started;
    console.info(`5,000 rows checked in ${took.toFixed(0)} ms`);
    expect(page.status).toBe(400);
    expect(page.text).toContain('Faults: 300 in 300 rows; rows without a fault: 4700. Nothing was enrolled.');
    expect(page.text).toContain('Line 9: Choose the treated foot or both.');
    expect(page.text).toContain('Line 21: This is not a telephone number.');
    expect(page.text).toContain('Line 33: Consent needs the day');
    expect(await children()).toBe(before);
  });

  test('without faults is checked first and enrolled as a whole only when asked to', async () => {
    const list = [HEAD, ...Array.from({ length: 30 }, (_unused, i) => row(i + 6_000))].join('\n');
    const form = await browser.get('/enrol/list');
    const checked = await browser.post('/enrol/list', { list, do: 'check' }, form);
    expect(checked.text).toContain('No fault was found. Children in the list: 30.');
    const before = await children();
    expect((await browser.post('/enrol/list', { list, do: 'enrol' }, form)).to).toBe(
      '/children?said=list-enrolled',
    );
    expect(await children()).toBe(before + 30);
    const again = await browser.post('/enrol/list', { list, do: 'enrol' }, form);
    expect(again.text).toContain('Faults: 30 in 30 rows');
    expect(again.text).toContain('This child is enrolled already');
    expect(await children()).toBe(before + 30);
  });

  test('with wrong columns, a child named twice or a child the clinic has is refused with its line', async () => {
    await familyIn(world, clinic, 'Known');
    const form = await browser.get('/enrol/list');
    const columns = await browser.post('/enrol/list', { list: 'child,birthday\nx,y', do: 'check' }, form);
    expect(columns.text).toContain('Unknown columns: birthday.');
    expect(columns.text).toContain(
      'Columns are missing: born, feet, guardian, number, language, consent_on, consent_by.',
    );
    const twice = [
      HEAD,
      row(7_000),
      row(7_000),
      row(7_001).replace(/^Child7001,[\d-]+/, 'known,2026-01-20'),
    ].join('\n');
    const page = await browser.post('/enrol/list', { list: twice, do: 'check' }, form);
    expect(page.text).toContain('Line 3: The same child stands in line 2 already.');
    expect(page.text).toContain('Line 4: This child is enrolled already');
  });
});

describe('comma-separated text', () => {
  test('written and read again is the same table', () => {
    const field = fc
      .string({ maxLength: 12 })
      .filter((text) => !/^[=+\-@\t\r]/.test(text) && !text.includes('\r'));
    const table = fc.array(fc.tuple(fc.constant('x'), field, field), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(table, (rows) => {
        expect(
          readCsv(writeCsv([['a', 'b', 'c'], ...rows]))
            .slice(1)
            .map((one) => [...one.fields]),
        ).toEqual(rows);
      }),
    );
  });

  test('from a spreadsheet with semicolons, quotes, line breaks and a byte order mark is read with its lines', () => {
    expect(readCsv('\uFEFFa;b\r\n"x;1";"say ""no"""\r\n\r\n"two\nlines";z\r\nlast;1')).toEqual([
      { line: 1, fields: ['a', 'b'] },
      { line: 2, fields: ['x;1', 'say "no"'] },
      { line: 4, fields: ['two\nlines', 'z'] },
      { line: 6, fields: ['last', '1'] },
    ]);
  });

  test('never becomes a formula in a spreadsheet', () => {
    expect(writeCsv([['=1+1', '+2', 'fine', -3]])).toBe("'=1+1,'+2,fine,-3\r\n");
  });
});
