import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { ClinicId, StaffId } from '../../src/core/model/ids.js';
import { PlainBrowser, signedIn } from './browser.js';
import { clinicIn, familyIn, flagFor, linkFor, staffIn } from './families.js';
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

describe('signing in', () => {
  test('a page asked for without a session leads to sign-in and back', async () => {
    const page = await new PlainBrowser(world.url).get('/queue?urgency=now');
    expect(page.status).toBe(303);
    expect(page.to).toBe('/sign-in?to=%2Fqueue%3Furgency%3Dnow');
  });

  test('opening a link does not use it up, pressing the button does, and only once', async () => {
    const link = await linkFor(world, nurse);
    const preview = new PlainBrowser(world.url);
    expect((await preview.get(`/sign-in?link=${link}`)).status).toBe(200);
    const browser = new PlainBrowser(world.url);
    const page = await browser.get(`/sign-in?link=${link}`);
    expect((await browser.post('/sign-in', { link }, page)).to).toBe('/queue');
    expect((await browser.get('/queue')).status).toBe(200);
    const again = new PlainBrowser(world.url);
    const form = await again.get(`/sign-in?link=${link}`);
    const refused = await again.post('/sign-in', { link }, form);
    expect(refused.status).toBe(403);
    expect(refused.text).toContain('has been used or is too old');
  });

  test('a sign-in form sent from elsewhere, without our cookie, is refused and does not use the link up', async () => {
    const link = await linkFor(world, nurse);
    const refused = await new PlainBrowser(world.url).post('/sign-in', { link, csrf: 'guessed' });
    expect(refused.status).toBe(403);
    const browser = new PlainBrowser(world.url);
    const page = await browser.get(`/sign-in?link=${link}`);
    expect((await browser.post('/sign-in', { link }, page)).status).toBe(303);
  });

  test('an address of another site is never gone to after signing in', async () => {
    const link = await linkFor(world, nurse);
    const browser = new PlainBrowser(world.url);
    const page = await browser.get(`/sign-in?link=${link}&to=//evil.example`);
    expect((await browser.post('/sign-in', { link, to: '//evil.example' }, page)).to).toBe('/queue');
  });

  test('a session ends when it lies idle, and at its absolute end however busy', async () => {
    const browser = await signedIn(world, nurse);
    world.wall.at += 11 * 3_600_000;
    expect((await browser.get('/queue')).status).toBe(200);
    world.wall.at += 2 * 3_600_000;
    expect((await browser.get('/queue')).status).toBe(303);
    world.wall.at -= 13 * 3_600_000;
    const idle = await signedIn(world, nurse);
    const [key = ''] = await world.redis.keys(`*session:${idle.cookies.get('toeline')}`);
    expect(await world.redis.pttl(key.slice(key.indexOf('session:')))).toBeGreaterThan(3_600_000);
  });

  test('signing out ends the session on the server too', async () => {
    const browser = await signedIn(world, nurse);
    const page = await browser.get('/queue');
    const copied = browser.cookies.get('toeline') ?? '';
    await browser.post('/sign-out', {}, page);
    const thief = new PlainBrowser(world.url);
    thief.cookies.set('toeline', copied);
    expect((await thief.get('/queue')).status).toBe(303);
  });

  test('a nurse who left can do nothing with a session she still has', async () => {
    const leaver = await staffIn(world, clinic, 'Leaver');
    const browser = await signedIn(world, leaver);
    await world.store.db.updateTable('staff').set({ is_active: false }).where('id', '=', leaver).execute();
    expect((await browser.get('/queue')).status).toBe(303);
  });
});

describe('the queue', () => {
  test('blue cold toes stand first, with those words marked, the reason, the wait and one tap to call', async () => {
    const mild = await familyIn(world, clinic, 'Mild');
    const blue = await familyIn(world, clinic, 'Blue');
    await flagFor(world, mild, {
      text: 'a bit red',
      signs: [['skin-red', 'red']],
      urgency: 'soon',
      matter: 'skin',
    });
    await flagFor(world, blue, {
      text: 'toes are blue and cold',
      signs: [
        ['toes-discoloured', 'blue'],
        ['toes-cold', 'cold'],
      ],
    });
    world.clock.at += 12 * 60_000;
    const page = await (await signedIn(world, nurse)).get('/queue');
    expect(page.html.indexOf('Blue Test')).toBeLessThan(page.html.indexOf('Mild Test'));
    expect(page.html).toMatch(/toes are <mark[^>]*>blue<\/mark> and <mark[^>]*>cold<\/mark>/);
    expect(page.text).toContain('Toes discoloured and cold in a cast.');
    expect(page.text).toMatch(/waiting 12 mins? 18 mins? left/);
    expect(page.text).toContain('7 weeks · In cast, day 3 · left foot');
    expect(page.html).toContain(`href="tel:${blue.number}"`);
  });

  test("a family's text is never markup", async () => {
    const family = await familyIn(world, clinic, 'Script');
    await flagFor(world, family, { text: '<script>alert(1)</script> & "x"', signs: [], matter: 'unread' });
    const page = await (await signedIn(world, nurse)).get('/queue');
    expect(page.html).toContain('&lt;script>alert(1)');
    expect(page.html).not.toContain('<script>alert');
  });

  test('another clinic sees none of it, not by list and not by address', async () => {
    const other = await clinicIn(world, 'Hill clinic');
    const family = await familyIn(world, clinic, 'Walled');
    const flag = await flagFor(world, family, { text: 'cold toes', signs: [['toes-cold', 'cold']] });
    const browser = await signedIn(world, await staffIn(world, other, 'Stranger'));
    const queue = await browser.get('/queue');
    expect(queue.text).not.toContain('Walled');
    expect((await browser.get(`/flags/${flag}`)).status).toBe(404);
    expect((await browser.post(`/flags/${flag}/take`, {}, queue)).status).toBe(404);
  });

  test('an administrator reads no family, and a form without the token changes nothing', async () => {
    const admin = await signedIn(world, await staffIn(world, null, 'Root', 'administrator'));
    expect((await admin.get('/queue')).status).toBe(403);
    const family = await familyIn(world, clinic, 'Token');
    const flag = await flagFor(world, family, { text: 'cold', signs: [] });
    const browser = await signedIn(world, nurse);
    expect((await browser.post(`/flags/${flag}/take`, { csrf: 'wrong' })).status).toBe(403);
    const row = await world.store.db
      .selectFrom('flag')
      .select('state')
      .where('id', '=', flag)
      .executeTakeFirstOrThrow();
    expect(row.state).toBe('open');
  });
});

describe('a flag', () => {
  test('is taken, noted and closed with an outcome, and its history says by whom', async () => {
    const family = await familyIn(world, clinic, 'Whole');
    const flag = await flagFor(world, family, { text: 'toes cold', signs: [['toes-cold', 'cold']] });
    const browser = await signedIn(world, nurse);
    const queue = await browser.get('/queue');
    expect((await browser.post(`/flags/${flag}/take`, {}, queue)).to).toBe(`/flags/${flag}?said=taken`);
    const page = await browser.get(`/flags/${flag}`);
    expect(page.text).toContain('You have taken this.');
    expect((await browser.post(`/flags/${flag}/note`, { note: 'Called, toes pink now' }, page)).status).toBe(
      303,
    );
    const unanswered = await browser.post(`/flags/${flag}/close`, {}, page);
    expect(unanswered.status).toBe(409);
    expect(unanswered.text).toContain('Choose how it ended');
    expect((await browser.post(`/flags/${flag}/close`, { outcome: 'family-reached' }, page)).to).toBe(
      '/queue?said=closed',
    );
    const after = await browser.get(`/flags/${flag}`);
    expect(after.text).toMatch(/Taken by Amina.*Called, toes pink now.*Closed by Amina/);
    const looks = await world.store.db
      .selectFrom('audit')
      .select('action')
      .where('subject', '=', `child:${family.childId}`)
      .execute();
    expect(looks.map((row) => row.action)).toContain('looked-at-flag');
  });

  test('two nurses press at once: one has it, the other is told who', async () => {
    const family = await familyIn(world, clinic, 'Race');
    const flag = await flagFor(world, family, { text: 'toes cold', signs: [['toes-cold', 'cold']] });
    const first = await signedIn(world, nurse);
    const second = await signedIn(world, await staffIn(world, clinic, 'Brian'));
    const [a, b] = [await first.get('/queue'), await second.get('/queue')];
    const answers = await Promise.all([
      first.post(`/flags/${flag}/take`, {}, a),
      second.post(`/flags/${flag}/take`, {}, b),
    ]);
    expect(answers.map((answer) => answer.status).sort()).toEqual([303, 409]);
    const told = answers.find((answer) => answer.status === 409);
    expect(told?.text).toMatch(/(Amina|Brian) was faster and has taken this flag/);
  });
});
