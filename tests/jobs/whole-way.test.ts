import { expect, test } from 'vitest';
import { arrivals } from '../../src/jobs/arrive.js';
import { recordEvent } from '../../src/store/course-events.js';
import { storeForFile } from '../helpers/database.js';
import { DAY, HOUR, someClinic, someFamily, TUESDAY_NINE } from '../helpers/family.js';
import { eventually, quiet, type TestJobs, testJobs } from '../helpers/jobs.js';

const file = storeForFile();

async function enrolled(test: TestJobs) {
  const clinicId = await someClinic(file.store);
  const family = await someFamily(file.store, clinicId, { plan: test.jobs.core.planCourse });
  const change = {
    by: 'toeline' as const,
    now: TUESDAY_NINE,
    plan: test.jobs.core.planCourse,
    aheadMs: 14 * DAY,
  };
  await recordEvent(file.store, family.childId, { type: 'cast', date: '2026-06-02', number: 1 }, change);
  return { ...family, clinicId, number: family.numbers[0] ?? '' };
}

test('a cast goes on, its check-in goes out in the evening, blue toes come back, and the flag stands', async () => {
  const running = testJobs(file.store);
  const { childId, number } = await enrolled(running);
  const worker = running.start();
  await worker.planner.pass();
  await quiet(running);
  expect(running.far.sent).toEqual([]);

  running.moveClock(11 * HOUR - 60_000);
  await worker.planner.pass();
  await eventually(() =>
    expect(running.far.sent.map(({ body }) => body)).toEqual([expect.stringMatching(/toes/)]),
  );
  expect(running.far.sent[0]?.to).toBe(number);

  const text = { providerId: 'in-1', from: number, to: '', body: 'her toes are blue and cold', raw: '' };
  await arrivals(running.jobs).text('far-side', text);
  await arrivals(running.jobs).text('far-side', text);
  await eventually(async () => {
    const flags = await file.store.db
      .selectFrom('flag')
      .selectAll()
      .where('child_id', '=', childId)
      .execute();
    expect(flags).toMatchObject([{ matter: 'circulation', urgency: 'now', state: 'open' }]);
  });
  const [event] = await file.store.db
    .selectFrom('flag_event')
    .innerJoin('flag', 'flag.id', 'flag_event.flag_id')
    .select(['flag_event.evidence', 'flag_event.text_in_id'])
    .where('flag.child_id', '=', childId)
    .execute();
  const words = event?.evidence.map(({ start, end }) => text.body.slice(start, end)).join(' ');
  expect(words).toMatch(/blue/);
  // The family is told at once what to do, whatever the hour.
  await eventually(() => expect(running.far.sent.length).toBeGreaterThanOrEqual(2));
  const told = running.far.sent.slice(1).map(({ body }) => body);
  expect(told.join(' ')).toMatch(/now/i);
  const row = await file.store.db
    .selectFrom('text_in')
    .selectAll()
    .where('from_number', '=', number)
    .execute();
  expect(row).toMatchObject([{ state: 'read', child_id: childId }]);
  expect(running.notes).toEqual([]);
});

test('an unknown number stands in the queue as such and is told where to turn', async () => {
  const running = testJobs(file.store);
  running.start();
  const text = { providerId: 'in-9', from: '+15550109999', to: '', body: 'hello who is this', raw: '' };
  await arrivals(running.jobs).text('far-side', text);
  await eventually(async () => {
    const flags = await file.store.db
      .selectFrom('flag')
      .selectAll()
      .where('number', '=', text.from)
      .execute();
    expect(flags).toMatchObject([{ matter: 'unknown-number', child_id: null }]);
  });
});
