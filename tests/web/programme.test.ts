import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import type { ClinicId, StaffId } from '../../src/core/model/ids.js';
import { take } from '../../src/store/flag-work.js';
import { readCsv } from '../../src/web/csv.js';
import { type PlainBrowser, signedIn } from './browser.js';
import { clinicIn, type Family, familyIn, flagFor, inBraceSince, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

let world: World;
let clinic: ClinicId;
let nurse: StaffId;
let browser: PlainBrowser;
const families: Family[] = [];

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  clinic = await clinicIn(world);
  const other = await clinicIn(world, 'Other');
  nurse = await staffIn(world, clinic);
  for (let i = 0; i < 3; i += 1) families.push(await familyIn(world, clinic, `Cast${i}`));
  for (let i = 0; i < 2; i += 1)
    families.push(await familyIn(world, clinic, `Brace${i}`, inBraceSince('2026-03-01')));
  await familyIn(world, other, 'Elsewhere');
  browser = await signedIn(world, nurse);
});
afterAll(() => world.close());

const table = async (name: string) =>
  readCsv((await browser.get(`/programme/table?name=${name}`)).html).map((row) => [...row.fields]);

test('children are counted by phase, those of another clinic not at all', async () => {
  expect((await table('caseload')).slice(1).map((row) => row.slice(0, 2))).toEqual([
    ['In cast', '3'],
    ['Full-time brace', '2'],
  ]);
});

test('the first action is timed: three flags of NOW acted on after 10, 20 and 40 minutes, limit 30', async () => {
  const start = world.clock.at;
  for (const [i, minutes] of [10, 20, 40].entries()) {
    const family = families[i];
    if (family === undefined) throw new Error('no family');
    world.clock.at = start;
    const flag = await flagFor(world, family, { text: 'toes cold', signs: [['toes-cold', 'cold']] });
    await take(world.store, flag, nurse, start + minutes * 60_000);
  }
  world.clock.at = start + 3_600_000;
  const rows = await table('actions');
  const now = rows.find((row) => row[0] === 'NOW');
  expect(now).toEqual([
    'NOW',
    '3',
    '3',
    '2',
    '66.7',
    expect.stringMatching(/^20 min/),
    expect.stringMatching(/^36 min/),
  ]);
});

test('told wear is grouped and silence stands apart', async () => {
  const family = families[3];
  if (family === undefined) throw new Error('no family');
  await world.store.db
    .insertInto('wear_day')
    .values({ child_id: family.childId, on_date: '2026-03-09', low: 21, high: 23, recorded_at: new Date() })
    .execute();
  expect((await table('wear')).slice(1)).toEqual([
    ['Full-time brace', 'nothing said', '1'],
    ['Full-time brace', '20-24', '1'],
  ]);
});

test('the page shows every figure as picture and table, and an administrator may see it', async () => {
  const page = await browser.get('/programme');
  expect(page.status).toBe(200);
  expect(page.html.match(/<svg/g)?.length).toBeGreaterThanOrEqual(3);
  const admin = await signedIn(world, await staffIn(world, null, 'Root', 'administrator'));
  const seen = await admin.get('/programme');
  expect(seen.status).toBe(200);
  expect(seen.text).not.toContain('Cast0');
});
