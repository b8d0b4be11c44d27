import { expect, test } from 'vitest';
import { fillQueues } from '../../src/jobs/fill.js';
import { keepQueuesFilled } from '../../src/jobs/rebuild.js';
import { retime } from '../../src/jobs/retime.js';
import { planChildren } from '../../src/jobs/sweep.js';
import { stopChild } from '../../src/store/stops.js';
import { realCore } from '../helpers/core.js';
import { storeForFile } from '../helpers/database.js';
import { DAY, fixedCourse, HOUR, noTexts, someClinic, someFamily, TUESDAY_NINE } from '../helpers/family.js';
import { eventually, quiet, type TestJobs, testJobs } from '../helpers/jobs.js';

const file = storeForFile();

const VISIT = 'cast-change 2026-06-04';
const reminderAt = (dueAt: number, expiresAt = dueAt + 6 * HOUR) =>
  fixedCourse([{ kind: 'visit-tomorrow', forWhat: VISIT, dueAt, expiresAt }]);

/** Families who want one reminder at an instant; everybody else of this file wants none any more. */
async function families(count: number, dueAt: number, expiresAt?: number) {
  await file.store.db
    .updateTable('planned_text')
    .set({ state: 'withdrawn' })
    .where('state', '=', 'planned')
    .execute();
  const clinicId = await someClinic(file.store);
  const plan = reminderAt(dueAt, expiresAt);
  const enrolled = [];
  for (let index = 0; index < count; index += 1)
    enrolled.push(await someFamily(file.store, clinicId, { plan }));
  return enrolled;
}

const withCourse = (dueAt: number) => ({ core: { ...realCore(), planCourse: reminderAt(dueAt) } });

async function emptyRedis({ jobs }: TestJobs): Promise<void> {
  const keys = await jobs.queues.redis.keys(`${jobs.queues.prefix}:*`);
  if (keys.length > 0) await jobs.queues.redis.del(keys);
}

const due = TUESDAY_NINE + HOUR;

test('planning and filling many times, by several at once, sends each text once', async () => {
  const running = testJobs(file.store, withCourse(due));
  const { jobs, far } = running;
  await families(12, due);
  await Promise.all(Array.from({ length: 4 }, () => fillQueues(jobs, null, due + DAY)));
  running.start();
  await quiet(running);
  expect(far.sent).toEqual([]);
  running.setClock(due);
  await Promise.all([retime(jobs), fillQueues(jobs, null, due + DAY), fillQueues(jobs, null, due + DAY)]);
  await eventually(() => expect(far.sent).toHaveLength(12));
  await fillQueues(jobs, null, due + DAY);
  await planChildren(jobs);
  await quiet(running);
  expect(new Set(far.sent.map(({ to }) => to)).size).toBe(12);
  expect(far.sent).toHaveLength(12);
});

test('an emptied Redis is filled again from PostgreSQL, and nothing goes twice', async () => {
  const running = testJobs(file.store, withCourse(due));
  const { jobs, far } = running;
  const enrolled = await families(10, due);
  running.setClock(due - HOUR / 2);
  await keepQueuesFilled(jobs);
  const worker = running.start();
  await quiet(running);
  running.setClock(due);
  await retime(jobs);
  await eventually(() => expect(far.sent.length).toBeGreaterThan(3));
  await emptyRedis(running);
  expect((await keepQueuesFilled(jobs)).isRebuilt).toBe(true);
  await worker.planner.pass();
  await eventually(() => expect(far.sent).toHaveLength(10));
  await quiet(running);
  expect(far.sent.map(({ to }) => to).sort()).toEqual(enrolled.flatMap(({ numbers }) => numbers).sort());
});

test('a job that fires early because the clock was turned back waits for its own instant', async () => {
  const running = testJobs(file.store, withCourse(due));
  const { jobs, far } = running;
  await families(3, due);
  // Filled by a process whose clock is an hour ahead: the jobs are due at once.
  running.setClock(due);
  await keepQueuesFilled(jobs);
  running.setClock(due - HOUR);
  const worker = running.start();
  await eventually(async () => expect(await jobs.queues.of('check-in').getDelayedCount()).toBe(3));
  await worker.planner.pass();
  await quiet(running);
  expect(far.sent).toEqual([]);
  running.setClock(due);
  await worker.planner.pass();
  await eventually(() => expect(far.sent).toHaveLength(3));
  // And back again, after they went: they are not wanted a second time.
  running.setClock(due - HOUR);
  await worker.planner.pass();
  running.setClock(due + 1);
  await worker.planner.pass();
  await quiet(running);
  expect(far.sent).toHaveLength(3);
});

test('after an outage a stale reminder is dropped with a note, never sent', async () => {
  const running = testJobs(file.store, { core: { ...realCore(), planCourse: noTexts } });
  const [family] = await families(1, due, due + HOUR);
  running.setClock(due + 2 * DAY);
  const worker = running.start();
  await worker.planner.pass();
  await eventually(async () => {
    const query = file.store.db.selectFrom('planned_text').selectAll();
    const rows = await query.where('child_id', '=', family?.childId ?? ('' as never)).execute();
    expect(rows).toMatchObject([{ state: 'dropped', note: 'its time had passed before it could go' }]);
  });
  expect(running.far.sent).toEqual([]);
});

test('nothing about a child goes out once its texts are stopped', async () => {
  const running = testJobs(file.store, withCourse(due));
  const [family] = await families(1, due);
  if (family === undefined) throw new Error('There is no family.');
  await keepQueuesFilled(running.jobs);
  await stopChild(file.store, family.childId, 'died', TUESDAY_NINE);
  running.setClock(due);
  const worker = running.start();
  await worker.planner.pass();
  await quiet(running);
  expect(running.far.sent).toEqual([]);
});

test('texts of one hour are spread over the clinic’s minutes, and keep their minute when planned again', async () => {
  const running = testJobs(file.store, withCourse(due));
  const clinicId = await someClinic(file.store, { settings: { spreadMinutes: 30 } });
  for (let index = 0; index < 30; index += 1) {
    await someFamily(file.store, clinicId, { plan: reminderAt(due) });
  }
  const times = async () => {
    const query = file.store.db.selectFrom('planned_text').select(['id', 'due_at']);
    const rows = await query.where('clinic_id', '=', clinicId).orderBy('id').execute();
    return rows.map((row) => row.due_at.getTime());
  };
  const first = await times();
  expect(Math.min(...first)).toBeGreaterThanOrEqual(due);
  expect(Math.max(...first)).toBeLessThan(due + 30 * 60_000);
  expect(new Set(first.map((one) => Math.floor((one - due) / 60_000))).size).toBeGreaterThan(10);
  await file.store.db
    .updateTable('child')
    .set({ planned_until: new Date(0) })
    .where('clinic_id', '=', clinicId)
    .execute();
  await planChildren(running.jobs);
  expect(await times()).toEqual(first);
});
