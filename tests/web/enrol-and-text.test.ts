import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { ClinicId, StaffId } from '../../src/core/model/ids.js';
import { signedIn } from './browser.js';
import { clinicIn, familyIn, flagFor, staffIn } from './families.js';
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

describe('enrolling', () => {
  const FORM = {
    given: 'Nakato',
    born: '2026-02-20',
    feet: 'right',
    'g1.name': 'Sarah',
    'g1.number': '+15550100901',
    'g1.relation': 'mother',
    'g1.language': 'en',
    'g1.reads': 'yes',
    'g1.hour': '18:30',
    consent: 'yes',
    'test-text': 'yes',
  };

  test('puts the child, its guardian with consent and the first text into the record', async () => {
    const browser = await signedIn(world, nurse);
    const form = await browser.get('/enrol');
    const saved = await browser.post('/enrol', FORM, form);
    expect(saved.to).toMatch(/^\/children\/[0-9a-f-]{36}\?said=enrolled$/);
    const guardian = await world.store.db
      .selectFrom('guardian')
      .selectAll()
      .where('number', '=', '+15550100901')
      .executeTakeFirstOrThrow();
    expect(guardian).toMatchObject({
      name: 'Sarah',
      chosen_hour: '18:30',
      consent_on: '2026-03-10',
      consent_by: 'Amina',
    });
    expect(guardian.consent_text).toContain('never name the condition');
    const texts = await world.store.db
      .selectFrom('text_out')
      .select(['body', 'lane'])
      .where('to_number', '=', '+15550100901')
      .execute();
    expect(texts).toHaveLength(1);
    expect(texts[0]?.body).toContain('Lakeside clinic will text you about Nakato');
  });

  test('warns of a likely duplicate and enrols only when told that it is another child', async () => {
    const browser = await signedIn(world, nurse);
    const form = await browser.get('/enrol');
    const twin = { ...FORM, 'g1.number': '+15550100902', given: 'Apio', born: '2026-02-01' };
    await browser.post('/enrol', twin, form);
    const warned = await browser.post('/enrol', twin, form);
    expect(warned.status).toBe(400);
    expect(warned.text).toContain('This child may be here already');
    expect(warned.html).toContain('value="Apio"');
    expect((await browser.post('/enrol', { ...twin, another: 'yes' }, form)).status).toBe(303);
  });

  test('tells every fault at once: no name, born tomorrow, no foot, no number, an hour at night, no consent', async () => {
    const browser = await signedIn(world, nurse);
    const form = await browser.get('/enrol');
    const refused = await browser.post(
      '/enrol',
      { born: '2026-03-11', 'g1.name': 'Sarah', 'g1.number': '12', 'g1.language': 'en', 'g1.hour': '23:00' },
      form,
    );
    for (const told of [
      'given name',
      'cannot lie in the future',
      'treated foot',
      'not a telephone number',
      'from 08:00 to 20:00',
      'Without consent',
    ]) {
      expect(refused.text).toContain(told);
    }
  });
});

describe('texts', () => {
  test('a text is tried without anything happening: blue toes would be NOW', async () => {
    const before = await world.store.db.selectFrom('flag').select('id').execute();
    const browser = await signedIn(world, nurse);
    const form = await browser.get('/try');
    const page = await browser.post(
      '/try',
      { text: 'toes are blue and cold', language: 'en', phase: 'cast', asked: 'open' },
      form,
    );
    expect(page.html).toMatch(/<mark[^>]*title="[^"]*toes discoloured[^"]*"[^>]*>toes are blue/);
    expect(page.text).toMatch(/NOW\s+Toes and circulation/);
    expect(page.text).toContain('The family would be texted:');
    expect(await world.store.db.selectFrom('flag').select('id').execute()).toHaveLength(before.length);
  });

  test('a nurse counts the parts, replies, and the form sent twice is one text', async () => {
    const family = await familyIn(world, clinic, 'Reply');
    const flag = await flagFor(world, family, { text: 'cold', signs: [['toes-cold', 'cold']] });
    const browser = await signedIn(world, nurse);
    const page = await browser.get(`/flags/${flag}`);
    const count = await browser.post(
      `/flags/${flag}/reply`,
      { body: 'x'.repeat(161), do: 'count', form: 'a' },
      page,
    );
    expect(count.text).toContain('161 characters, billed as parts: 2.');
    const reply = { body: 'Please come now.', do: 'send', form: 'once' };
    await browser.post(`/flags/${flag}/reply`, reply, page);
    await browser.post(`/flags/${flag}/reply`, reply, page);
    const texts = await world.store.db
      .selectFrom('text_out')
      .select(['body', 'lane', 'promised', 'to_number', 'ignores_hours'])
      .where('flag_id', '=', flag)
      .execute();
    expect(texts).toEqual([
      {
        body: 'Please come now.',
        lane: 'answer',
        promised: 'at-least-once',
        to_number: family.number,
        ignores_hours: true,
      },
    ]);
    expect((await browser.get(`/flags/${flag}`)).text).toMatch(
      /Replied by text by Amina\s+Please come now\./,
    );
  });

  test('a family that asked for no more texts gets none, and the nurse is told to call', async () => {
    const family = await familyIn(world, clinic, 'Stopped');
    await world.store.db
      .updateTable('phone_number')
      .set({ is_stopped: true })
      .where('number', '=', family.number)
      .execute();
    const flag = await flagFor(world, family, { text: 'cold', signs: [] });
    const browser = await signedIn(world, nurse);
    const page = await browser.get(`/flags/${flag}`);
    const refused = await browser.post(
      `/flags/${flag}/reply`,
      { body: 'hello', do: 'send', form: 'x' },
      page,
    );
    expect(refused.status).toBe(409);
    expect(refused.text).toContain('call instead');
    const texts = await world.store.db
      .selectFrom('text_out')
      .select('id')
      .where('flag_id', '=', flag)
      .execute();
    expect(texts).toEqual([]);
  });
});
