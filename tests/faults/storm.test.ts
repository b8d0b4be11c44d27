import type { ChildProcess } from 'node:child_process';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { freePort } from '../../src/app/services/ports.js';
import { migrate } from '../../src/store/migrate.js';
import { type OpenStore, openStore } from '../../src/store/open.js';
import { addTexts, type NewText } from '../../src/store/outbox.js';
import { newId } from '../helpers/database.js';
import { eventually } from '../helpers/jobs.js';
import {
  end,
  endAll,
  type NetworkProcess,
  SECRET,
  startHookProcess,
  startNetwork,
  startWorkerProcess,
} from './network-process.js';
import { type StormServers, startStormServers } from './storm-servers.js';

/** `TOELINE_STORM_KILLS=100 TOELINE_STORM_TEXTS=10000` is the whole storm; the few of every test run show the way. */
const KILLS = Number(process.env.TOELINE_STORM_KILLS ?? 10);
const TEXTS = Number(process.env.TOELINE_STORM_TEXTS ?? 400);
const PATIENCE_MS = 60_000 + KILLS * 10_000 + TEXTS * 30;
/** Between the worker's last look at the clock and the network's note of it. */
const LOOK_MS = 2_000;

const OPTIONS = {
  sweepEveryMs: 300,
  gatewayTimeoutMs: 1_500,
  settleAfterMs: 3_000,
  sendConcurrency: 20,
  sendAttempts: 50,
};

let servers: StormServers;
let store: OpenStore;
let network: NetworkProcess;
let worker: ChildProcess;
let hook: ChildProcess;
let hookPort: number;

const hookSettings = () => ({
  port: hookPort,
  secret: SECRET,
  databaseUrl: servers.databaseUrl,
  redisUrl: servers.redisUrl,
});
const workerSettings = () => ({
  databaseUrl: servers.databaseUrl,
  redisUrl: servers.redisUrl,
  networkUrl: network.url,
  secret: SECRET,
  canList: true,
  isQuiet: true,
  options: OPTIONS,
});

beforeAll(async () => {
  servers = await startStormServers();
  store = openStore({ url: servers.databaseUrl, newId, connections: 4, onIdleError: () => {} });
  await migrate(store);
  hookPort = await freePort();
  network = await startNetwork(`http://127.0.0.1:${hookPort}/hooks/pretend`);
  hook = await startHookProcess(hookSettings());
  worker = await startWorkerProcess(workerSettings());
  await network.client.setFaults({
    answerDelayMs: 20,
    reportDelayMs: { from: 5, to: 80 },
    reportDoubled: 0.2,
    reportsShuffled: 0.3,
    reportEarly: 0.1,
    inboundDoubled: 0.3,
  });
});
afterAll(async () => {
  await endAll();
  await network?.stop();
  await store?.close().catch(() => {});
  await servers?.stop();
});

/** Kept trying while the database is down; the keys make it harmless. */
async function insist<Result>(work: () => Promise<Result>): Promise<Result> {
  for (let attempt = 0; ; attempt += 1) {
    try {
      return await work();
    } catch (error) {
      // A killed database reads its log back first: tens of seconds under load.
      if (attempt > 1_200) throw error;
      await wait(100);
    }
  }
}

type Kind = 'safety' | 'reminder' | 'short';

function textTo(to: string, kind: Kind): NewText {
  const now = Date.now();
  const isSafety = kind === 'safety';
  return {
    key: `storm-${to}`,
    clinicId: null,
    guardianId: null,
    childId: null,
    to,
    kind: 'storm',
    lane: isSafety ? 'safety' : 'visit',
    promised: isSafety ? 'at-least-once' : 'at-most-once',
    language: 'en',
    body: `${kind} for ${to}`,
    wording: null,
    ignoresHours: true,
    notBefore: now,
    expiresAt: kind === 'short' ? now + 3_000 : null,
  };
}

const numbers = (kind: string, count: number) =>
  Array.from({ length: count }, (_none, index) => `+1555${kind}${String(100_000 + index)}`);

const KILLINGS: readonly (() => Promise<void>)[] = [
  async () => {
    await end(worker, 'SIGKILL');
    worker = await startWorkerProcess(workerSettings());
  },
  async () => {
    await end(hook, 'SIGKILL');
    hook = await startHookProcess(hookSettings());
  },
  () => servers.killRedis(),
  () => servers.killPostgres(),
  () => servers.emptyRedis(),
];

test(
  'through killed workers, webs, databases and queues nothing that must arrive is lost and nothing else is doubled',
  async () => {
    const wanted: Record<Kind, string[]> = {
      safety: numbers('1', Math.ceil(TEXTS * 0.45)),
      reminder: numbers('2', Math.ceil(TEXTS * 0.45)),
      short: numbers('3', Math.ceil(TEXTS * 0.1)),
    };
    const families = numbers('4', Math.ceil(TEXTS * 0.2));
    const expiresAt = new Map<string, number>();
    let isOver = false;
    const sending = (async () => {
      const all = Object.entries(wanted).flatMap(([kind, list]) =>
        list.map((to) => ({ kind: kind as Kind, to })),
      );
      all.sort((a, b) => a.to.slice(-5).localeCompare(b.to.slice(-5)));
      for (let start = 0; start < all.length; start += 20) {
        const texts = all.slice(start, start + 20).map(({ kind, to }) => textTo(to, kind));
        for (const { to, expiresAt: at } of texts) if (at !== null) expiresAt.set(to, at);
        await insist(() => addTexts(store, texts, Date.now()));
        if (!isOver) await wait((KILLS * 900 * 20) / TEXTS);
      }
    })();
    const typing = (async () => {
      for (const number of families) {
        await network.client.type(number, `her toes are blue ${number}`, '+15550100000');
        if (!isOver) await wait((KILLS * 900) / families.length);
      }
    })();
    const killing = (async () => {
      for (let kill = 0; kill < KILLS; kill += 1) {
        await wait(200 + Math.random() * 800);
        await KILLINGS[kill % KILLINGS.length]?.();
      }
      isOver = true;
    })();
    await Promise.all([sending, typing, killing]);

    const openStates = ['planned', 'queued', 'handed-over'] as const;
    await eventually(async () => {
      const open = await store.db
        .selectFrom('text_out')
        .select('id')
        .where('state', 'in', openStates)
        .execute();
      const unread = await store.db
        .selectFrom('text_in')
        .select('id')
        .where('state', '=', 'stored')
        .execute();
      const { open: calls } = await network.client.callbacks();
      expect({ open: open.length, unread: unread.length, calls }).toEqual({ open: 0, unread: 0, calls: 0 });
    }, PATIENCE_MS);

    const arrived = new Map((await network.client.phones()).map(({ number, texts }) => [number, texts]));
    const count = (list: readonly string[], isIt: (times: number) => boolean) =>
      list.filter((number) => isIt(arrived.get(number) ?? 0)).length;
    const read = await store.db
      .selectFrom('text_in')
      .innerJoin('flag', 'flag.number', 'text_in.from_number')
      .select('text_in.from_number')
      .where('text_in.state', '=', 'read')
      .execute();
    let stale = 0;
    for (const number of wanted.short) {
      const { thread } = await network.client.phone(number);
      stale += thread.filter((line) => Date.parse(line.at) > (expiresAt.get(number) ?? 0) + LOOK_MS).length;
    }
    const outcome = {
      kills: KILLS,
      texts: TEXTS,
      lostInbound: families.length - new Set(read.map((row) => row.from_number)).size,
      readTwice: read.length - new Set(read.map((row) => row.from_number)).size,
      lostSafety: count(wanted.safety, (times) => times === 0),
      doubledSafety: count(wanted.safety, (times) => times > 1),
      lostReminders: count(wanted.reminder, (times) => times === 0),
      doubledReminders: count(wanted.reminder, (times) => times > 1),
      staleSent: stale,
      staleDropped: count(wanted.short, (times) => times === 0),
    };
    process.stderr.write(`tests: storm: ${JSON.stringify(outcome)}\n`);
    expect(outcome).toMatchObject({
      lostInbound: 0,
      readTwice: 0,
      lostSafety: 0,
      doubledSafety: 0,
      lostReminders: 0,
      doubledReminders: 0,
      staleSent: 0,
    });
  },
  PATIENCE_MS + KILLS * 5_000,
);
