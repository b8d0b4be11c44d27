import { sql } from 'kysely';
import { describe, expect, test } from 'vitest';
import type { TextOutId } from '../../src/core/model/ids.js';
import { arrivals } from '../../src/jobs/arrive.js';
import { careForFailed } from '../../src/jobs/care.js';
import { settleHandOvers } from '../../src/jobs/settle.js';
import { nextSlot } from '../../src/jobs/slots.js';
import { sweep } from '../../src/jobs/sweep.js';
import { addText, type NewText } from '../../src/store/outbox.js';
import { newId, storeForFile } from '../helpers/database.js';
import { HOUR, TUESDAY_NINE as now, someClinic, someFamily } from '../helpers/family.js';
import { eventually, quiet, type TestJobs, testJobs } from '../helpers/jobs.js';

const file = storeForFile();

async function text(change: Partial<NewText> = {}): Promise<TextOutId> {
  const id = await addText(
    file.store,
    {
      key: newId(),
      clinicId: null,
      guardianId: null,
      childId: null,
      to: '+15550100321',
      kind: 'cast-day',
      lane: 'check-in',
      promised: 'at-most-once',
      language: 'en',
      body: 'How are the toes?',
      wording: null,
      ignoresHours: false,
      notBefore: now,
      expiresAt: now + 6 * HOUR,
      ...change,
    },
    now,
  );
  if (id === null) throw new Error('The key was taken.');
  return id;
}

const safety: Partial<NewText> = {
  lane: 'safety',
  promised: 'at-least-once',
  ignoresHours: true,
  expiresAt: null,
};

async function rowOf(id: TextOutId) {
  return file.store.db.selectFrom('text_out').selectAll().where('id', '=', id).executeTakeFirstOrThrow();
}

async function until(id: TextOutId, state: string): Promise<void> {
  await eventually(async () => expect((await rowOf(id)).state).toBe(state));
}

/** Makes hand-overs look as old as one that is never answered. */
async function ageHandOvers(): Promise<void> {
  await sql`update text_out set handed_over_at = handed_over_at - interval '10 minutes'
    where state = 'handed-over'`.execute(file.store.db);
}

async function started(): Promise<TestJobs> {
  const running = testJobs(file.store);
  const worker = running.start();
  await worker.planner.pass();
  return running;
}

describe('the ledger', () => {
  test('a text is accepted, then delivered, with every step and its time', async () => {
    const id = await text();
    const running = await started();
    await until(id, 'accepted');
    const [sent] = running.far.sent.filter((one) => one.id === id);
    if (sent === undefined) throw new Error('Nothing was sent.');
    expect(sent.validForSeconds).toBe(6 * 3_600);
    await arrivals(running.jobs).report('far-side', running.far.reportOf(sent, 'delivered'));
    await until(id, 'delivered');
    const steps = await file.store.db
      .selectFrom('text_out_step')
      .select('state')
      .where('text_out_id', '=', id)
      .execute();
    expect(steps.map(({ state }) => state).sort()).toEqual(
      ['planned', 'queued', 'handed-over', 'accepted', 'delivered'].sort(),
    );
  });

  test('a throttled text goes again after the time the gateway named', async () => {
    const id = await text();
    const running = testJobs(file.store);
    running.far.answers.push(() => ({
      kind: 'refused',
      reason: 'try-later',
      retryAfterSeconds: 1,
      words: 'slow down',
    }));
    const worker = running.start();
    await worker.planner.pass();
    await eventually(async () => expect(await rowOf(id)).toMatchObject({ state: 'queued', attempts: 1 }));
    running.moveClock(1_000);
    await worker.planner.pass();
    await until(id, 'accepted');
    expect(running.far.sent).toHaveLength(2);
  });
});

describe('a hand-over without an answer', () => {
  test('of a safety text goes again, and says so in its ledger', async () => {
    const id = await text(safety);
    const running = testJobs(file.store);
    running.far.answers.push(() => ({ kind: 'unknown', words: 'the line broke' }));
    const worker = running.start();
    await worker.planner.pass();
    await eventually(() => expect(running.far.sent).toHaveLength(1));
    await eventually(async () => expect(await rowOf(id)).toMatchObject({ error: 'the line broke' }));
    // Not before its time: the worker that handed it over may still be waiting.
    await settleHandOvers(running.jobs);
    expect((await rowOf(id)).state).toBe('handed-over');
    await ageHandOvers();
    await settleHandOvers(running.jobs);
    await worker.planner.pass();
    await until(id, 'accepted');
    expect(running.far.sent).toHaveLength(2);
    const steps = await file.store.db
      .selectFrom('text_out_step')
      .select('detail')
      .where('text_out_id', '=', id)
      .execute();
    expect(steps.map(({ detail }) => detail).join()).toMatch(/sent again \(attempt 2\)/);
  });

  test('of a reminder is not sent again: it becomes unknown', async () => {
    const id = await text();
    const running = testJobs(file.store);
    running.far.answers.push(() => ({ kind: 'unknown', words: 'the line broke' }));
    const worker = running.start();
    await worker.planner.pass();
    await eventually(async () => expect(await rowOf(id)).toMatchObject({ error: 'the line broke' }));
    await ageHandOvers();
    await worker.planner.pass();
    await until(id, 'unknown');
    await quiet(running);
    expect(running.far.sent).toHaveLength(1);
  });

  test('that the gateway’s own list shows was accepted, whatever was promised', async () => {
    for (const change of [{}, safety]) {
      const id = await text(change);
      const running = testJobs(file.store);
      running.far.answers.push(() => ({ kind: 'unknown', words: 'the line broke' }));
      const worker = running.start();
      await worker.planner.pass();
      await eventually(async () => expect(await rowOf(id)).toMatchObject({ error: 'the line broke' }));
      running.far.listed = [
        { providerId: 'found', ourId: id, to: '', body: '', state: 'sent', at: new Date().toISOString() },
      ];
      await ageHandOvers();
      await worker.planner.pass();
      expect(await rowOf(id)).toMatchObject({ state: 'accepted', provider_id: 'found' });
      expect(running.far.sent).toHaveLength(1);
    }
  });

  test('that the gateway’s own list does not show never left, and goes again whatever was promised', async () => {
    const id = await text();
    const running = testJobs(file.store);
    running.far.answers.push(() => ({ kind: 'unknown', words: 'the line broke' }));
    running.far.listed = [];
    const worker = running.start();
    await worker.planner.pass();
    await eventually(async () => expect(await rowOf(id)).toMatchObject({ error: 'the line broke' }));
    await ageHandOvers();
    await worker.planner.pass();
    await worker.planner.pass();
    await until(id, 'accepted');
    expect(running.far.sent).toHaveLength(2);
  });

  test('that a delivery report settles first is not sent again', async () => {
    const id = await text(safety);
    const running = testJobs(file.store);
    running.far.answers.push(() => ({ kind: 'unknown', words: 'the line broke' }));
    const worker = running.start();
    await worker.planner.pass();
    await eventually(async () => expect(await rowOf(id)).toMatchObject({ error: 'the line broke' }));
    await arrivals(running.jobs).report('far-side', {
      providerId: 'x',
      ourId: id,
      state: 'delivered',
      raw: '',
    });
    await until(id, 'delivered');
    await ageHandOvers();
    await worker.planner.pass();
    await quiet(running);
    expect(running.far.sent).toHaveLength(1);
  });
});

describe('a text that cannot arrive', () => {
  test('raises a flag, and the same question goes to the other guardian in that one’s name', async () => {
    const clinicId = await someClinic(file.store);
    const family = await someFamily(file.store, clinicId, { guardians: [{}, { name: 'Aunt' }] });
    const [first, second] = family.numbers;
    const planned = await file.store.db
      .insertInto('planned_text')
      .values({
        id: newId(),
        clinic_id: clinicId,
        child_id: family.childId,
        guardian_id: family.guardianIds[0] ?? newId(),
        kind: 'cast-day',
        for_what: '2026-06-02',
        due_at: new Date(now),
        expires_at: new Date(now + 6 * HOUR),
      })
      .returning('id')
      .executeTakeFirstOrThrow();
    expect(planned.id).toBeDefined();
    const running = testJobs(file.store);
    running.far.answers.push(() => ({ kind: 'refused', reason: 'wrong-number', words: 'no such number' }));
    const worker = running.start();
    await worker.planner.pass();
    await eventually(() => expect(running.far.sent.map(({ to }) => to)).toEqual([first]));
    await quiet(running);
    await worker.planner.pass();
    await eventually(() => expect(running.far.sent.map(({ to }) => to)).toEqual([first, second]));
    const flags = await file.store.db
      .selectFrom('flag')
      .selectAll()
      .where('child_id', '=', family.childId)
      .execute();
    expect(flags).toMatchObject([{ matter: 'unreachable', reason: expect.stringMatching(/not in use/) }]);
    await careForFailed(running.jobs);
    await quiet(running);
    expect(running.far.sent).toHaveLength(2);
  });

  test('because the gateway is out of credit waits, and one flag tells of it however many wait', async () => {
    const clinicId = await someClinic(file.store);
    const ids = [await text({ clinicId }), await text({ clinicId }), await text({ clinicId })];
    const running = testJobs(file.store);
    for (const _id of ids) {
      running.far.answers.push(() => ({ kind: 'refused', reason: 'out-of-credit', words: 'top up' }));
    }
    const worker = running.start();
    await worker.planner.pass();
    await eventually(() => expect(running.far.sent).toHaveLength(3));
    await quiet(running);
    await worker.planner.pass();
    const flags = await file.store.db
      .selectFrom('flag')
      .selectAll()
      .where('clinic_id', '=', clinicId)
      .execute();
    expect(flags).toMatchObject([{ matter: 'system', urgency: 'now', child_id: null }]);
    running.moveClock(11 * 60_000);
    await worker.planner.pass();
    for (const id of ids) await until(id, 'accepted');
  });
});

describe('how much goes when', () => {
  test('at night only safety texts leave; the morning brings the rest', async () => {
    const clinicId = await someClinic(file.store);
    const running = testJobs(file.store);
    running.setClock(now + 13 * HOUR);
    const ids = {
      question: await text({ clinicId, notBefore: now + 13 * HOUR, expiresAt: now + 30 * HOUR }),
      safety: await text({ ...safety, clinicId, notBefore: now + 13 * HOUR }),
    };
    const worker = running.start();
    await worker.planner.pass();
    await until(ids.safety, 'accepted');
    await quiet(running);
    expect(running.far.sent.map(({ id }) => id)).toEqual([ids.safety]);
    expect((await rowOf(ids.question)).next_try_at?.toISOString()).toBe('2026-06-03T08:00:00.000Z');
    running.setClock(Date.UTC(2026, 5, 3, 8));
    await worker.planner.pass();
    await until(ids.question, 'accepted');
  });

  test('a daily budget holds check-ins back to the next day, never a safety text', async () => {
    const clinicId = await someClinic(file.store, { settings: { textsPerDay: 4, spreadMinutes: 0 } });
    const ids: TextOutId[] = [];
    for (let index = 0; index < 9; index += 1) ids.push(await text({ clinicId, expiresAt: now + 30 * HOUR }));
    const running = await started();
    await eventually(() => expect(running.far.sent).toHaveLength(4));
    await quiet(running);
    const urgent = await text({ ...safety, clinicId });
    await sweep(running.jobs);
    await until(urgent, 'accepted');
    expect(running.far.sent).toHaveLength(5);
    const states = await Promise.all(ids.map(async (id) => (await rowOf(id)).state));
    expect(states.filter((state) => state === 'queued')).toHaveLength(5);
  });

  test('a clinic’s rate is shared by all who draw from it, and a safety text passes the line', async () => {
    const { jobs } = testJobs(file.store);
    const draw = (isUrgent = false) =>
      nextSlot(jobs.queues.redis, jobs.queues.prefix, {
        line: 'one',
        textsPerSecond: 20,
        cost: 1,
        isUrgent,
        longestWaitMs: 600,
      });
    await jobs.queues.ready();
    const waits = await Promise.all(Array.from({ length: 20 }, () => draw()));
    const given = waits.filter((wait) => wait !== null);
    // 20 a second: a text every 50 ms; two may go together; none is given out beyond 600 ms.
    expect(given.length).toBeGreaterThanOrEqual(12);
    expect(given.length).toBeLessThanOrEqual(15);
    expect(Math.max(...given)).toBeLessThanOrEqual(600);
    expect(await draw(true)).toBe(0);
  });
});
