import { expect, test } from 'vitest';
import { addText } from '../../src/store/outbox.js';
import { realCore } from '../helpers/core.js';
import { newId, storeForFile } from '../helpers/database.js';
import { fixedCourse, HOUR, someClinic, someFamily, TUESDAY_NINE } from '../helpers/family.js';
import { eventually, quiet, testJobs } from '../helpers/jobs.js';

const file = storeForFile();

test('two days without any gateway: what is stale is dropped with a note, safety and what still holds go when it is back', async () => {
  const texts = Array.from({ length: 12 }, (_none, index) => {
    const dueAt = TUESDAY_NINE + (1 + 4 * index) * HOUR;
    return {
      kind: 'visit-tomorrow' as const,
      forWhat: `cast-change ${index} 2026-06-09`,
      dueAt,
      expiresAt: dueAt + 10 * HOUR,
    };
  });
  const plan = fixedCourse(texts);
  const running = testJobs(file.store, { core: { ...realCore(), planCourse: plan } });
  let isUp = false;
  const ways = { ...running.jobs.ways, choose: () => (isUp ? running.far : null) };
  Object.assign(running.jobs, { ways });
  const clinicId = await someClinic(file.store, { sendingFrom: '00:00', sendingTo: '23:59' });
  const family = await someFamily(file.store, clinicId, { plan });
  const safety = await addText(
    file.store,
    {
      key: newId(),
      clinicId,
      guardianId: family.guardianIds[0] ?? null,
      childId: family.childId,
      to: family.numbers[0] ?? '',
      kind: 'safety',
      lane: 'safety',
      promised: 'at-least-once',
      language: 'en',
      body: 'Go to the clinic now.',
      wording: null,
      ignoresHours: true,
      notBefore: TUESDAY_NINE,
      expiresAt: null,
    },
    TUESDAY_NINE,
  );
  const worker = running.start();
  for (let hour = 0; hour <= 48; hour += 2) {
    running.setClock(TUESDAY_NINE + hour * HOUR);
    await worker.planner.pass();
    await quiet(running);
  }
  expect(running.far.sent).toEqual([]);
  const flags = await file.store.db
    .selectFrom('flag')
    .select(['matter', 'reason'])
    .where('child_id', '=', family.childId)
    .execute();
  expect(flags).toContainEqual({
    matter: 'unreachable',
    reason: expect.stringMatching(/not gone out for ten minutes/),
  });

  isUp = true;
  running.moveClock(60_000);
  await worker.planner.pass();
  await eventually(async () => {
    const open = await file.store.db
      .selectFrom('text_out')
      .select('id')
      .where('state', 'in', ['planned', 'queued'])
      .execute();
    expect(open).toEqual([]);
  });
  const now = running.jobs.now();
  const still = texts.filter(({ dueAt, expiresAt }) => dueAt <= now && expiresAt > now);
  expect(running.far.sent.map(({ id }) => id)).toContain(safety);
  expect(running.far.sent).toHaveLength(1 + still.length);
  const ended = await file.store.db
    .selectFrom('text_out')
    .select(['state', 'error', 'expires_at'])
    .where('state', '=', 'dropped')
    .execute();
  expect(ended.length).toBe(texts.filter(({ expiresAt }) => expiresAt <= now).length);
  expect(ended.every(({ error }) => error !== null && /its time/.test(error))).toBe(true);
});
