import type { ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { startRedis } from '../../src/app/services/redis.js';
import type { Service } from '../../src/app/services/service.js';
import { type Arrivals, arrivals } from '../../src/jobs/arrive.js';
import { DEFAULT_OPTIONS } from '../../src/jobs/jobs.js';
import { openQueues, type Queues } from '../../src/jobs/queues.js';
import { addTexts, type NewText } from '../../src/store/outbox.js';
import { newId, storeForFile } from '../helpers/database.js';
import { eventually } from '../helpers/jobs.js';
import {
  end,
  endAll,
  type NetworkProcess,
  SECRET,
  startHook,
  startNetwork,
  startWorkerProcess,
} from './network-process.js';

const file = storeForFile();
const folder = mkdtempSync(join(tmpdir(), 'toeline-kill-'));
let redis: Service;
let queues: Queues;
let hook: Awaited<ReturnType<typeof startHook>>;
let network: NetworkProcess;
let arrive: Arrivals;

const OPTIONS = {
  sweepEveryMs: 250,
  gatewayTimeoutMs: 1_000,
  settleAfterMs: 2_000,
  sendConcurrency: 20,
};

beforeAll(async () => {
  redis = await startRedis(folder, () => {});
  queues = openQueues({ redisUrl: redis.url });
  const untouched = new Proxy({}, { get: () => () => expect.fail('no text is read here') });
  arrive = arrivals({
    store: file.store,
    core: untouched as never,
    queues,
    ways: { choose: () => null, byName: () => null },
    now: Date.now,
    options: DEFAULT_OPTIONS,
    note: () => {},
  });
  hook = await startHook(() => arrive);
  network = await startNetwork(hook.url);
});
afterAll(async () => {
  await endAll();
  await network?.stop();
  await hook?.stop();
  await queues?.close();
  await redis?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const COUNT = 240;
let round = 0;

/** Half safety texts, half reminders, each to a number of its own; due now. */
async function someTexts(): Promise<{ safety: string[]; reminders: string[] }> {
  round += 1;
  const numbers = Array.from({ length: COUNT }, (_none, index) => `+1555${round}${String(100_000 + index)}`);
  const isSafety = (index: number) => index % 2 === 0;
  const texts = numbers.map((to, index): NewText => {
    const kind = isSafety(index)
      ? ({ lane: 'safety', promised: 'at-least-once' } as const)
      : ({ lane: 'visit', promised: 'at-most-once' } as const);
    const now = Date.now();
    return {
      ...kind,
      key: newId(),
      clinicId: null,
      guardianId: null,
      childId: null,
      to,
      kind: 'test',
      language: 'en',
      body: `text for ${to}`,
      wording: null,
      ignoresHours: true,
      notBefore: now,
      expiresAt: null,
    };
  });
  await addTexts(file.store, texts, Date.now());
  return {
    safety: numbers.filter((_to, index) => isSafety(index)),
    reminders: numbers.filter((_to, index) => !isSafety(index)),
  };
}

async function arrivedAt(): Promise<Map<string, number>> {
  const phones = await network.client.phones();
  return new Map(phones.map(({ number, texts }) => [number, texts]));
}

async function openTexts(numbers: readonly string[]): Promise<number> {
  const row = await file.store.db
    .selectFrom('text_out')
    .select((eb) => eb.fn.countAll<number>().as('open'))
    .where('to_number', 'in', numbers)
    .where('state', 'in', ['planned', 'queued', 'handed-over'])
    .executeTakeFirstOrThrow();
  return Number(row.open);
}

async function handedOver(numbers: readonly string[]): Promise<number> {
  const query = file.store.db.selectFrom('text_out').select('id').where('to_number', 'in', numbers);
  return (await query.where('state', '=', 'handed-over').execute()).length;
}

async function killAndEmpty(worker: ChildProcess): Promise<void> {
  await end(worker, 'SIGKILL');
  const client = new Redis(redis.url);
  await client.flushall();
  client.disconnect();
}

interface Outcome {
  readonly lostSafety: number;
  readonly lostReminders: number;
  readonly doubledReminders: number;
  readonly doubledSafety: number;
  readonly sentAgain: number;
  /** Hand-overs without an answer right after each kill, added up. */
  readonly underWay: number;
  readonly kills: number;
}

/** Kills the worker again and again while it sends, empties Redis each time, then lets one finish. */
async function run(canList: boolean): Promise<Outcome> {
  // The network answers slowly, so that many texts are between hand-over and answer whenever the worker dies.
  // Without its list no report tells of them either: nothing but the promise of each text decides.
  const faults = canList ? { reportDoubled: 0.2 } : { reportLost: 1 };
  await network.client.setFaults({ answerDelayMs: 60, reportDelayMs: { from: 1, to: 40 }, ...faults });
  const { safety, reminders } = await someTexts();
  const all = [...safety, ...reminders];
  const settings = {
    databaseUrl: file.url,
    redisUrl: redis.url,
    networkUrl: network.url,
    secret: SECRET,
    canList,
    options: OPTIONS,
  };
  let kills = 0;
  let underWay = 0;
  let worker = await startWorkerProcess(settings);
  for (const share of [0.1, 0.25, 0.4, 0.55, 0.7, 0.85]) {
    await eventually(
      async () => expect(COUNT - (await openTexts(all))).toBeGreaterThan(COUNT * share),
      30_000,
    );
    await killAndEmpty(worker);
    kills += 1;
    underWay += await handedOver(all);
    worker = await startWorkerProcess(settings);
  }
  await eventually(async () => expect(await openTexts(all)).toBe(0), 60_000);
  await end(worker, 'SIGTERM');
  const arrived = await arrivedAt();
  const times = (numbers: readonly string[], isIt: (count: number) => boolean) =>
    numbers.filter((number) => isIt(arrived.get(number) ?? 0)).length;
  const again = await file.store.db
    .selectFrom('text_out_step')
    .innerJoin('text_out', 'text_out.id', 'text_out_step.text_out_id')
    .select('to_number')
    .where('detail', 'like', 'sent again%')
    .where('to_number', 'in', all)
    .execute();
  return {
    lostSafety: times(safety, (count) => count === 0),
    lostReminders: times(reminders, (count) => count === 0),
    doubledReminders: times(reminders, (count) => count > 1),
    doubledSafety: times(safety, (count) => count > 1),
    sentAgain: again.length,
    underWay,
    kills,
  };
}

describe('a worker killed between handing over and recording, with Redis emptied each time', () => {
  test('loses nothing and doubles nothing where the gateway can be asked what it has sent', async () => {
    const outcome = await run(true);
    process.stderr.write(`tests: killed worker, gateway with a list: ${JSON.stringify(outcome)}\n`);
    expect(outcome).toMatchObject({ lostSafety: 0, doubledReminders: 0, doubledSafety: 0, kills: 6 });
    expect(outcome.underWay).toBeGreaterThan(0);
    // Handed over, killed before the call went out, not on the list: it never left, so it goes again.
    expect(outcome.lostReminders).toBe(0);
  }, 120_000);

  test('loses no safety text and doubles no reminder where it cannot, and says of each safety text that it went again', async () => {
    const outcome = await run(false);
    process.stderr.write(`tests: killed worker, gateway without a list: ${JSON.stringify(outcome)}\n`);
    expect(outcome).toMatchObject({ lostSafety: 0, doubledReminders: 0, kills: 6 });
    // The argued window: only texts under way when the worker died, and each says so in its ledger.
    expect(outcome.doubledSafety).toBeLessThanOrEqual(outcome.sentAgain);
    expect(outcome.sentAgain).toBeGreaterThan(0);
    expect(outcome.sentAgain).toBeLessThanOrEqual(outcome.underWay);
    expect(outcome.lostReminders).toBeLessThanOrEqual(outcome.underWay);
  }, 120_000);
});
