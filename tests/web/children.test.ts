import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { ClinicId, StaffId } from '../../src/core/model/ids.js';
import { signedIn } from './browser.js';
import { clinicIn, type Family, familyIn, inBraceSince, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

let world: World;
let clinic: ClinicId;
let nurse: StaffId;

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  clinic = await clinicIn(world);
  nurse = await staffIn(world, clinic);
});
afterAll(() => world.close());

const SIGNS = [
  'posteriorCrease',
  'emptyHeel',
  'rigidEquinus',
  'curvedLateralBorder',
  'medialCrease',
  'lateralHeadOfTalus',
];
/** Six signs of the left foot. Dyer and Davis 2006: PC 0.5, EH 1, RE 1, CLB 0.5, MC 0.5, LHT 0 is 2.5 + 1.0 = 3.5. */
const SCORED = Object.fromEntries(
  ['0.5', '1', '1', '0.5', '0.5', '0'].map((points, i) => [`left.${SIGNS[i]}`, points]),
);

const events = (family: Family) =>
  world.store.db
    .selectFrom('course_event')
    .select(['id', 'type', 'on_date', 'body', 'replaced_by', 'is_withdrawn'])
    .where('child_id', '=', family.childId)
    .orderBy('on_date')
    .orderBy('id')
    .execute();

describe('recording a visit', () => {
  test('a cast with six signs and an angle is kept, the next date is proposed, and the chart shows 3.5', async () => {
    const family = await familyIn(world, clinic, 'Kato', [{ type: 'cast', date: '2026-03-03', number: 1 }]);
    const browser = await signedIn(world, nurse);
    const form = await browser.get(`/children/${family.childId}/visit`);
    expect(form.text).toMatch(/New cast\s+next: Cast change, Tue,? 17 Mar/);
    const saved = await browser.post(
      `/children/${family.childId}/visit`,
      {
        deed: 'cast',
        date: '2026-03-10',
        ...SCORED,
        'left.abduction': '30',
        angle: 'thigh-foot',
        note: 'calm',
      },
      form,
    );
    expect(saved.to).toBe(`/children/${family.childId}?said=visit-saved`);
    const rows = await events(family);
    expect(rows.at(-1)?.body).toMatchObject({
      type: 'cast',
      number: 2,
      feet: {
        left: {
          abduction: 30,
          abductionAngle: 'thigh-foot',
          pirani: { posteriorCrease: 0.5, lateralHeadOfTalus: 0 },
        },
      },
    });
    const page = await browser.get(`/children/${family.childId}`);
    expect(page.text).toMatch(/Cast change: Tue,? 17 Mar 2026, in 7 days/);
    expect(page.text).toContain('3.5 2.5 1');
    expect(page.text).toContain('30° thigh-foot');
  });

  test('a tenotomy brings its last cast on the same day, and the cast comes off 21 days later', async () => {
    const family = await familyIn(world, clinic, 'Teno', [{ type: 'cast', date: '2026-03-03', number: 1 }]);
    const browser = await signedIn(world, nurse);
    const form = await browser.get(`/children/${family.childId}/visit`);
    const saved = await browser.post(
      `/children/${family.childId}/visit`,
      { deed: 'tenotomy', date: '2026-03-10' },
      form,
    );
    expect(saved.status, saved.text).toBe(303);
    expect((await events(family)).map((row) => row.type)).toEqual(['cast', 'tenotomy', 'cast']);
    const page = await browser.get(`/children/${family.childId}`);
    expect(page.text).toMatch(/Cast off, brace on: Tue,? 31 Mar 2026, in 21 days/);
  });

  test('every fault is told at once and nothing is saved', async () => {
    const family = await familyIn(world, clinic, 'Fault');
    const browser = await signedIn(world, nurse);
    const form = await browser.get(`/children/${family.childId}/visit`);
    const refused = await browser.post(
      `/children/${family.childId}/visit`,
      { date: '2026-02-30', 'left.emptyHeel': '1', 'left.abduction': 'much' },
      form,
    );
    expect(refused.status).toBe(400);
    expect(refused.text).toContain('Choose what was done.');
    expect(refused.text).toContain('Give the day of the visit.');
    expect(refused.text).toContain('Left foot: score all six signs or none.');
    expect(refused.text).toContain('Left foot: abduction is a number');
    expect(await events(family)).toHaveLength(2);
  });

  test('what contradicts the record is refused with a reason: a cast before the child was born', async () => {
    const family = await familyIn(world, clinic, 'Contra', [{ type: 'cast', date: '2026-03-03', number: 1 }]);
    const browser = await signedIn(world, nurse);
    const form = await browser.get(`/children/${family.childId}/visit`);
    const refused = await browser.post(
      `/children/${family.childId}/visit`,
      { deed: 'cast', date: '2026-01-01' },
      form,
    );
    expect(refused.status).toBe(400);
    expect(refused.text).toContain('This does not fit the record');
    expect(await events(family)).toHaveLength(1);
  });

  test('a correction keeps the wrong entry in the history, crossed out', async () => {
    const family = await familyIn(world, clinic, 'Correct', [
      { type: 'cast', date: '2026-03-06', number: 1 },
    ]);
    const [wrong] = await events(family);
    const browser = await signedIn(world, nurse);
    const path = `/children/${family.childId}/events/${wrong?.id}`;
    const form = await browser.get(path);
    const saved = await browser.post(path, { date: '2026-03-05', ...SCORED, note: 'day was wrong' }, form);
    expect(saved.to).toBe(`/children/${family.childId}?said=event-corrected`);
    const rows = await events(family);
    expect(rows.map((row) => [row.on_date, row.replaced_by === null])).toEqual([
      ['2026-03-05', true],
      ['2026-03-06', false],
    ]);
    const page = await browser.get(`/children/${family.childId}`);
    expect(page.html).toContain('<s>Cast 1</s>');
  });

  test('a coordinator writes nothing clinical, and another clinic finds no such child', async () => {
    const family = await familyIn(world, clinic, 'Closed');
    const coordinator = await signedIn(world, await staffIn(world, clinic, 'Cora', 'coordinator'));
    expect((await coordinator.get(`/children/${family.childId}`)).status).toBe(200);
    expect((await coordinator.get(`/children/${family.childId}/visit`)).status).toBe(403);
    const stranger = await signedIn(world, await staffIn(world, await clinicIn(world, 'Other'), 'Stranger'));
    expect((await stranger.get(`/children/${family.childId}`)).status).toBe(404);
    expect((await stranger.get('/children?find=Closed')).text).not.toContain('Closed Test');
  });
});

describe('a child’s page', () => {
  test('days of silence stand as silence, not as no wear', async () => {
    const family = await familyIn(world, clinic, 'Wear', inBraceSince('2026-03-01'));
    await world.store.db
      .insertInto('wear_day')
      .values({ child_id: family.childId, on_date: '2026-03-09', low: 20, high: 22, recorded_at: new Date() })
      .execute();
    const page = await (await signedIn(world, nurse)).get(`/children/${family.childId}`);
    expect(page.text).toContain('1 were told and 9 were silent');
    expect(page.text).toContain('20–22 h of wear');
    expect(page.html.match(/class="gap"/g)).toHaveLength(9);
  });

  test('looking at a child is written down', async () => {
    const family = await familyIn(world, clinic, 'Looked');
    await (await signedIn(world, nurse)).get(`/children/${family.childId}`);
    const rows = await world.store.db
      .selectFrom('audit')
      .select(['action', 'actor'])
      .where('subject', '=', `child:${family.childId}`)
      .where('action', '=', 'looked-at-child')
      .execute();
    expect(rows).toEqual([{ action: 'looked-at-child', actor: nurse }]);
  });
});
