import { describe, expect, test } from 'vitest';
import { MISSING_PART as GAP, WAIT_FOR_PARTS_MS as PARTS_WAIT_MS } from '../../src/core/texts/join-parts.js';
import { arrivals } from '../../src/jobs/arrive.js';
import { realCore } from '../helpers/core.js';
import { storeForFile } from '../helpers/database.js';
import { inventedNumber, noTexts, someClinic, someFamily } from '../helpers/family.js';
import { eventually, quiet, type TestJobs, testJobs } from '../helpers/jobs.js';

const file = storeForFile();
const core = () => ({ ...realCore(), planCourse: noTexts });

let serial = 0;
function inbound(from: string, body: string, more: object = {}) {
  serial += 1;
  return { providerId: `in-${serial}`, from, to: '+15550100900', body, raw: body, ...more };
}

async function flagsAbout(number: string) {
  const query = file.store.db.selectFrom('flag').selectAll().where('number', '=', number);
  return query.orderBy('opened_at').execute();
}

async function textsFrom(number: string) {
  return file.store.db
    .selectFrom('text_in')
    .selectAll()
    .where('from_number', '=', number)
    .orderBy('id')
    .execute();
}

async function family(): Promise<string> {
  const { numbers } = await someFamily(file.store, await someClinic(file.store));
  return numbers[0] ?? '';
}

describe('a text that cannot be read', () => {
  test('is tried again, then becomes a flag with its row, and is never lost', async () => {
    const number = await family();
    const broken = {
      ...core(),
      readText: () => {
        throw new Error('no reader today');
      },
    };
    const running = testJobs(file.store, { core: broken });
    running.start();
    await arrivals(running.jobs).text('far-side', inbound(number, 'her toes are cold'));
    for (let attempt = 0; attempt < 2; attempt += 1) {
      await eventually(async () => expect((await textsFrom(number))[0]?.attempts).toBeGreaterThan(attempt));
      running.moveClock(60_000);
      await sweepAgain(running);
    }
    await eventually(async () => {
      expect(await textsFrom(number)).toMatchObject([
        { state: 'failed', attempts: 3, body: 'her toes are cold' },
      ]);
      expect(await flagsAbout(number)).toMatchObject([{ matter: 'unread', urgency: 'today' }]);
    });
  });

  test('because Redis was not told of it is found by the sweep', async () => {
    const number = await family();
    const running = testJobs(file.store, { core: core() });
    const deaf = {
      ...running.jobs.queues,
      add: async () => Promise.reject(new Error('Redis does not answer.')),
    };
    await arrivals({ ...running.jobs, queues: deaf }).text('far-side', inbound(number, 'cast is wet'));
    expect(await textsFrom(number)).toMatchObject([{ state: 'stored' }]);
    running.moveClock(10_000);
    const worker = running.start();
    await worker.planner.pass();
    await eventually(async () => expect(await textsFrom(number)).toMatchObject([{ state: 'read' }]));
    expect(running.notes.join()).toMatch(/the next sweep will find it/);
  });
});

async function sweepAgain(running: TestJobs): Promise<void> {
  const { id } =
    (await file.store.db
      .selectFrom('text_in')
      .select('id')
      .where('state', '=', 'stored')
      .executeTakeFirst()) ?? {};
  if (id === undefined) return;
  // The job waits by the machine's clock; the test does not.
  for (const job of await running.jobs.queues.of('read').getDelayed()) await job.promote();
}

describe('what a family says', () => {
  test('in the parts of a long text is read whole, and with a gap when a part never comes', async () => {
    const number = await family();
    const running = testJobs(file.store, { core: core() });
    const worker = running.start();
    const arrive = arrivals(running.jobs);
    const part = (number: number, total = 2) => ({ part: { ref: 5, number, total } });
    await arrive.text('far-side', inbound(number, 'blue and cold', part(2)));
    await arrive.text('far-side', inbound(number, 'the toes are ', part(1)));
    await eventually(async () => expect(await flagsAbout(number)).toMatchObject([{ matter: 'circulation' }]));
    const rows = await textsFrom(number);
    expect(rows.map(({ state }) => state).sort()).toEqual(['joined', 'joined', 'read']);

    const other = await family();
    await arrive.text('far-side', inbound(other, 'the toes are blue ', part(1, 3)));
    await quiet(running);
    expect(await flagsAbout(other)).toEqual([]);
    running.moveClock(PARTS_WAIT_MS + 1_000);
    await worker.planner.pass();
    await eventually(async () => expect(await flagsAbout(other)).toMatchObject([{ matter: 'circulation' }]));
    const whole = (await textsFrom(other)).find(({ state }) => state === 'read');
    expect(whole).toMatchObject({
      body: `the toes are blue ${GAP}${GAP}`,
      note: 'Part 2, 3 of 3 did not arrive.',
    });
  });

  test('from a number written without its plus sign is still the family’s', async () => {
    const number = await family();
    const running = testJobs(file.store, { core: core() });
    running.start();
    await arrivals(running.jobs).text('far-side', inbound(number.slice(1), 'toes are cold'));
    await eventually(async () => expect((await flagsAbout(number)).length).toBe(1));
  });

  test('STOP ends reminders and check-ins at once, with one confirmation', async () => {
    const number = await family();
    const running = testJobs(file.store, { core: core() });
    running.start();
    await arrivals(running.jobs).text('far-side', inbound(number, 'STOP'));
    await eventually(() => {
      expect(running.far.sent.map(({ to }) => to).filter((to) => to === number)).toEqual([number]);
    });
    const row = await file.store.db
      .selectFrom('phone_number')
      .selectAll()
      .where('number', '=', number)
      .executeTakeFirst();
    expect(row).toMatchObject({ is_stopped: true, stopped_why: 'opted-out' });
  });

  test('in two texts at the same moment gives one flag and two readings', async () => {
    const number = await family();
    const running = testJobs(file.store, { core: core() });
    running.start();
    const arrive = arrivals(running.jobs);
    await Promise.all([
      arrive.text('far-side', inbound(number, 'her toes are cold')),
      arrive.text('far-side', inbound(number, 'toes are blue now')),
    ]);
    await eventually(async () => {
      expect((await textsFrom(number)).map(({ state }) => state)).toEqual(['read', 'read']);
    });
    expect((await flagsAbout(number)).map(({ matter }) => matter)).toEqual(['circulation']);
  });

  test('by a machine that answers every answer of ours is answered once a day', async () => {
    await someClinic(file.store);
    await file.store.db.deleteFrom('text_out').where('guardian_id', 'is', null).execute();
    const number = inventedNumber();
    const running = testJobs(file.store, { core: core() });
    running.start();
    for (let index = 0; index < 5; index += 1) {
      await arrivals(running.jobs).text('far-side', inbound(number, `auto-reply ${index}`));
    }
    await eventually(async () => {
      expect((await textsFrom(number)).every(({ state }) => state === 'read')).toBe(true);
    });
    await quiet(running);
    expect(running.far.sent.filter(({ to }) => to === number).length).toBeLessThanOrEqual(1);
    expect(await flagsAbout(number)).toHaveLength(1);
  });
});

test('something a gateway brings in an unknown form stands in the queue for a person', async () => {
  const running = testJobs(file.store, { core: core() });
  running.start();
  await arrivals(running.jobs).unreadable('far-side', '{"odd": true}', 'not a form of ours');
  await eventually(async () => {
    const flags = await file.store.db
      .selectFrom('flag')
      .selectAll()
      .where('rule', '=', 'unreadable-from-gateway')
      .execute();
    expect(flags).toHaveLength(1);
  });
});
