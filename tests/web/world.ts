import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import pg from 'pg';
import { v7 } from 'uuid';
import { loadProtocols } from '../../src/flows/protocols.js';
import { loadStaffLanguages } from '../../src/flows/staff-languages.js';
import type { Gateway } from '../../src/gateways/gateway.js';
import { pretendKind } from '../../src/gateways/pretend/pretend.js';
import { PretendNetworkClient } from '../../src/pretend-network/client.js';
import { type RunningNetwork, startPretendNetwork } from '../../src/pretend-network/server.js';
import { takeInbound, takeUnreadable } from '../../src/store/inbox.js';
import { migrate } from '../../src/store/migrate.js';
import { type OpenStore, openStore } from '../../src/store/open.js';
import { recordReport } from '../../src/store/reports.js';
import { createWebApp } from '../../src/web/app.js';
import type { WebDeps } from '../../src/web/deps.js';
import { redisSessions, type SessionLimits, SHIFT_LIMITS } from '../../src/web/sessions.js';
import { wordsByCode } from '../../src/web/wording.js';
import { realCore } from './real-core.js';
import { realCourse } from './real-course.js';

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
  close(): Promise<void>;
}

const SECRET = 'a-secret-for-tests-only';

export async function startWorld(
  from: { databaseUrl: string; redisUrl: string },
  change: Partial<Pick<WebDeps, 'demo' | 'config'>> & { limits?: SessionLimits; withoutDemo?: boolean } = {},
): Promise<World> {
  const databaseUrl = await newDatabase(from.databaseUrl);
  const store = openStore({ url: databaseUrl, newId: <Id extends string>() => v7() as Id, connections: 8 });
  await migrate(store);
  const redis = new Redis(from.redisUrl, { keyPrefix: `${v7()}:` });
  const clock = { at: MORNING, now: () => clock.at };
  const wall = { at: MORNING };
  const notes: string[] = [];

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
  const app = createWebApp({
    store,
    clock,
    sessions: redisSessions(redis, change.limits ?? SHIFT_LIMITS, () => wall.at),
    gateways: new Map([['pretend', gateway]]),
    inbound: (name) => ({
      text: async (text) => void (await takeInbound(store, name, text, clock.now())),
      report: (report) => recordReport(store, name, report, clock.now()),
      unreadable: async (raw, words) => void (await takeUnreadable(store, name, raw, words, clock.now())),
    }),
    languages: wordsByCode(loadStaffLanguages(join(ROOT, 'flows', 'staff-languages'))),
    health: async () => [{ part: 'database', isWell: true, words: 'answers' }],
    config: change.config ?? { publicUrl: url },
    note: (words) => void notes.push(words),
    plan: realCourse,
    protocols: loadProtocols(join(ROOT, 'flows')).protocols,
    core: realCore(),
    planAheadMs: 48 * 3_600_000,
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
    async close() {
      listener.closeAllConnections();
      await new Promise((resolve) => listener.close(resolve));
      await network.close();
      await gateway.close();
      redis.disconnect();
      await store.close();
    },
  };
}

async function newDatabase(url: string): Promise<string> {
  const name = `web_${v7().replaceAll('-', '')}`;
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query(`create database ${name}`);
  await client.end();
  const own = new URL(url);
  own.pathname = `/${name}`;
  return own.href;
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
