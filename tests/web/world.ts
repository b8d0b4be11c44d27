import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import { v7 } from 'uuid';
import { loadProtocols } from '../../src/flows/protocols.js';
import { loadStaffLanguages } from '../../src/flows/staff-languages.js';
import type { Gateway } from '../../src/gateways/gateway.js';
import { pretendKind } from '../../src/gateways/pretend/pretend.js';
import { arrivals } from '../../src/jobs/arrive.js';
import type { Core } from '../../src/jobs/core.js';
import { DEFAULT_OPTIONS, type Jobs } from '../../src/jobs/jobs.js';
import { openQueues } from '../../src/jobs/queues.js';
import { startWorker } from '../../src/jobs/worker.js';
import { PretendNetworkClient } from '../../src/pretend-network/client.js';
import { type RunningNetwork, startPretendNetwork } from '../../src/pretend-network/server.js';
import { type OpenStore, openStore } from '../../src/store/open.js';
import { createWebApp } from '../../src/web/app.js';
import type { WebDeps } from '../../src/web/deps.js';
import { redisSessions, type SessionLimits, SHIFT_LIMITS } from '../../src/web/sessions.js';
import { wordsByCode } from '../../src/web/wording.js';
import { realCore } from '../helpers/core.js';
import { cloneDatabase, newId } from '../helpers/database.js';

export const ROOT = join(import.meta.dirname, '..', '..');
/** A Tuesday morning in Kampala. */
export const MORNING = Date.parse('2026-03-10T09:00:00+03:00');

/** toeline's web on real parts: a database of its own, Redis, the pretend network, a clock a test can move. */
export interface World {
  readonly url: string;
  readonly store: OpenStore;
  readonly redis: Redis;
  readonly network: RunningNetwork;
  readonly client: PretendNetworkClient;
  readonly clock: { now(): number; at: number };
  /** The machine's time as sessions see it. */
  readonly wall: { at: number };
  readonly notes: string[];
  readonly core: Core;
  /** Starts the worker that reads, talks and sends. */
  work(): void;
  close(): Promise<void>;
}

const SECRET = 'a-secret-for-tests-only';

export async function startWorld(
  from: { redisUrl: string },
  change: Partial<Pick<WebDeps, 'demo' | 'config'>> & { limits?: SessionLimits; withoutDemo?: boolean } = {},
): Promise<World> {
  const database = await cloneDatabase();
  const store = openStore({ url: database.url, newId, connections: 8 });
  const redis = new Redis(from.redisUrl, { keyPrefix: `${v7()}:` });
  const clock = { at: MORNING, now: () => clock.at };
  const wall = { at: MORNING };
  const notes: string[] = [];
  const stops: (() => Promise<void>)[] = [];

  // The network must know the web's address and the web the network's, so the port is taken first.
  const listener = await listen();
  const url = `http://127.0.0.1:${(listener.address() as AddressInfo).port}`;
  const network = await startPretendNetwork({
    port: 0,
    toelineUrl: `${url}/hooks/pretend`,
    secret: SECRET,
    tryForMs: 5_000,
  });
  const client = new PretendNetworkClient(network.url, SECRET);
  const gateway = openPretend(network.url, url);
  const queues = openQueues({ redisUrl: from.redisUrl, prefix: `web-${v7()}` });
  const jobs: Jobs = {
    store,
    core: realCore(),
    queues,
    ways: { choose: () => gateway, byName: (name) => (name === gateway.name ? gateway : null) },
    now: clock.now,
    options: { ...DEFAULT_OPTIONS, sweepEveryMs: 60_000_000 },
    note: (words) => void notes.push(words),
  };
  const app = createWebApp({
    store,
    clock,
    sessions: redisSessions(redis, change.limits ?? SHIFT_LIMITS, () => wall.at),
    gateways: new Map([['pretend', gateway]]),
    inbound: arrivals(jobs).sinkOf,
    languages: wordsByCode(loadStaffLanguages(join(ROOT, 'flows', 'staff-languages'))),
    health: async () => [{ part: 'database', isWell: true, words: 'answers' }],
    config: change.config ?? { publicUrl: url },
    note: (words) => void notes.push(words),
    protocols: loadProtocols(join(ROOT, 'flows')).protocols,
    core: jobs.core,
    planAheadMs: jobs.options.aheadMs,
    ...(change.withoutDemo === true
      ? {}
      : {
          demo: change.demo ?? {
            network: client,
            moveClockTo: async (at: number) => {
              clock.at = at;
            },
          },
        }),
  });
  listener.on('request', app);
  return {
    url,
    store,
    redis,
    network,
    client,
    clock,
    wall,
    notes,
    core: jobs.core,
    work: () => {
      const worker = startWorker(jobs, from.redisUrl);
      stops.push(() => worker.stop());
    },
    async close() {
      for (const stop of stops) await stop();
      listener.closeAllConnections();
      await new Promise((resolve) => listener.close(resolve));
      await network.close();
      await gateway.close();
      await queues.close();
      redis.disconnect();
      await store.close();
      await database.drop();
    },
  };
}

async function listen(): Promise<Server> {
  const { createServer } = await import('node:http');
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return server;
}

function openPretend(networkUrl: string, publicUrl: string): Gateway {
  const prepared = pretendKind.prepare('pretend', { url: networkUrl, secret: SECRET });
  if ('faults' in prepared) throw new Error(prepared.faults.join('; '));
  return prepared.open({ wallNow: () => Date.now(), publicUrl, note: () => undefined });
}
