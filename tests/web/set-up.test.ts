import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { ClinicId, StaffId } from '../../src/core/model/ids.js';
import { PlainBrowser, signedIn } from './browser.js';
import { clinicIn, familyIn, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

let world: World;
let clinic: ClinicId;
let admin: StaffId;

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  clinic = await clinicIn(world);
  admin = await staffIn(world, clinic, 'Ada', 'administrator');
});
afterAll(() => world.close());

const HOURS = {
  opens: '08:00',
  closes: '16:00',
  'sending-from': '08:00',
  'sending-to': '20:00',
  call: '+15550100000',
  emergency: '999',
  protocol: 'standard',
};

describe('the clinic', () => {
  test('moves visits only after showing whose: the next cast change falls on 14 March, a Saturday clinic day then', async () => {
    const family = await familyIn(world, clinic, 'Moved');
    const browser = await signedIn(world, admin);
    const form = await browser.get('/set-up');
    const saturdays = { ...HOURS, clinic, days: 'saturday', closures: '' };
    const shown = await browser.post('/set-up', { ...saturdays, do: 'check' }, form);
    expect(shown.text).toContain('Next visits that would move: 1 of 1 children.');
    expect(shown.text).toMatch(/Moved Test\s*:\s+\w{3},? \d+ Mar 2026 → Sat,? 14 Mar 2026/);
    const row = () =>
      world.store.db.selectFrom('clinic').selectAll().where('id', '=', clinic).executeTakeFirstOrThrow();
    expect((await row()).clinic_days).toEqual(['tuesday', 'thursday']);
    expect((await browser.post('/set-up', { ...saturdays, do: 'save' }, form)).to).toContain(
      'said=set-up-saved',
    );
    expect((await row()).clinic_days).toEqual(['saturday']);
    const child = await world.store.db
      .selectFrom('child')
      .select('planned_until')
      .where('id', '=', family.childId)
      .executeTakeFirstOrThrow();
    expect(child.planned_until.getTime()).toBe(0);
  });

  test('tells every fault of its hours at once', async () => {
    const browser = await signedIn(world, admin);
    const form = await browser.get('/set-up');
    const page = await browser.post(
      '/set-up',
      {
        ...HOURS,
        clinic,
        opens: '17:00',
        'sending-to': '08:30',
        closures: '2026-02-30',
        call: 'ask me',
        protocol: 'x',
        do: 'save',
      },
      form,
    );
    expect(page.status).toBe(400);
    for (const told of [
      'one clinic day',
      'opens before it closes',
      'one hour a day',
      '2026-02-30',
      'families may call',
      'one of the protocols',
    ]) {
      expect(page.text).toContain(told);
    }
  });
});

describe('staff', () => {
  test('are let in by a link shown once, and let go with their sessions', async () => {
    const browser = await signedIn(world, admin);
    const form = await browser.get('/set-up/staff');
    await browser.post('/set-up/staff', { name: 'Nora', role: 'nurse', clinic }, form);
    const nora = await world.store.db
      .selectFrom('staff')
      .select('id')
      .where('name', '=', 'Nora')
      .executeTakeFirstOrThrow();
    const page = await browser.post(`/set-up/staff/${nora.id}/link`, {}, form);
    const link = /sign-in\?link=([\w-]{43})/.exec(page.html)?.[1] ?? '';
    const nurse = new PlainBrowser(world.url);
    const signIn = await nurse.get(`/sign-in?link=${link}`);
    expect((await nurse.post('/sign-in', { link }, signIn)).status).toBe(303);
    expect((await nurse.get('/queue')).status).toBe(200);
    await browser.post(`/set-up/staff/${nora.id}/active`, {}, form);
    expect((await nurse.get('/queue')).status).toBe(303);
  });

  test('of one clinic are not managed from another, nor let in for all clinics by it; nobody lets himself go', async () => {
    const other = await clinicIn(world, 'Other');
    const stranger = await staffIn(world, other, 'Stranger');
    const browser = await signedIn(world, admin);
    const form = await browser.get('/set-up/staff');
    expect(form.text).not.toContain('Stranger');
    expect((await browser.post(`/set-up/staff/${stranger}/link`, {}, form)).status).toBe(404);
    expect(
      (await browser.post('/set-up/staff', { name: 'X', role: 'nurse', clinic: 'all' }, form)).status,
    ).toBe(400);
    expect((await browser.post(`/set-up/staff/${admin}/active`, {}, form)).status).toBe(400);
  });
});
