import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { v7 } from 'uuid';
import type { Definition } from '../core/conversation/definition.js';
import type { Clock } from '../core/time/clock.js';
import { loadStaffLanguages } from '../flows/staff-languages.js';
import { arrivals } from '../jobs/arrive.js';
import { coreFrom, type LoadedFlows } from '../jobs/core-from-flows.js';
import { DEFAULT_OPTIONS, type Jobs } from '../jobs/jobs.js';
import { openQueues } from '../jobs/queues.js';
import { keepQueuesFilled } from '../jobs/rebuild.js';
import { type RunningWorker, startWorker } from '../jobs/worker.js';
import { definitionsInUse, keepDefinitions } from '../store/check-in-definitions.js';
import { migrate, NewerDatabase } from '../store/migrate.js';
import { type OpenStore, openStore } from '../store/open.js';
import { createWebApp } from '../web/app.js';
import type { Demo } from '../web/deps.js';
import { redisSessions, SHIFT_LIMITS } from '../web/sessions.js';
import { wordsByCode } from '../web/wording.js';
import type { Config } from './config.js';
import { loadFlows } from './flows.js';
import { type GatewayList, openWays } from './gateways.js';
import { healthOf } from './health.js';
import { closedDaysAround } from './holidays.js';
import { SaidFault } from './said-fault.js';
import { waysOver } from './ways.js';

export interface Wanted {
  readonly config: Config;
  readonly databaseUrl: string;
  readonly redisUrl: string;
  readonly clock: Clock;
  readonly gateways: GatewayList;
  readonly hasWeb: boolean;
  readonly hasWorker: boolean;
  readonly note: (words: string, error?: unknown) => void;
  /** Made once the rest stands, for demonstrations. */
  readonly demo?: (jobs: Jobs, worker: RunningWorker | null) => Demo;
}

/** A running toeline process. */
export interface Running {
  readonly jobs: Jobs;
  readonly store: OpenStore;
  readonly worker: RunningWorker | null;
  /** Where the web server is reached, without a trailing slash; null without one. */
  readonly address: string | null;
  /** In order: no new requests, no new jobs, what is under way is finished, gateways, queues, record. */
  stop(): Promise<void>;
}

/** Opens the record, bringing it to this version. Throws a SaidFault when it is newer than this program. */
export async function openRecord(databaseUrl: string, note: Wanted['note']): Promise<OpenStore> {
  const store = openStore({
    url: databaseUrl,
    newId: <Id extends string>() => v7() as Id,
    closedDays: closedDaysAround(new Date().getUTCFullYear()),
    connections: 20,
    onIdleError: (error) => note('A connection to PostgreSQL broke; it is replaced.', error),
  });
  try {
    await migrate(store);
    return store;
  } catch (error) {
    await store.close();
    if (error instanceof NewerDatabase) throw new SaidFault(error.message);
    throw error;
  }
}

/** The composition root: joins configuration, files, record, queues, gateways, jobs and web. Nothing else does. */
export async function build(wanted: Wanted): Promise<Running> {
  const { config, note, clock } = wanted;
  const stops: (() => Promise<unknown>)[] = [];
  const stop = async () => {
    for (const one of stops.splice(0).reverse()) await one();
  };
  try {
    const store = await openRecord(wanted.databaseUrl, note);
    stops.push(() => store.close());
    const flows = await flowsWithOlder(store, config, clock);
    const queues = openQueues({ redisUrl: wanted.redisUrl });
    stops.push(() => queues.close());
    const server = wanted.hasWeb ? await listen(config) : null;
    if (server !== null) stops.push(() => close(server));
    const address = server === null ? null : addressOf(server, config);
    const publicUrl = (config.TOELINE_URL ?? address ?? '').replace(/\/$/, '');
    const { gateways, settings } = openWays(wanted.gateways, process.env, {
      wallNow: Date.now,
      publicUrl,
      note,
    });
    stops.push(() => Promise.all([...gateways.values()].map((gateway) => gateway.close())));
    const jobs: Jobs = {
      store,
      core: coreFrom(flows),
      queues,
      ways: waysOver(gateways, settings, Date.now),
      now: () => clock.now(),
      options: { ...DEFAULT_OPTIONS, horizonMs: config.TOELINE_HORIZON_HOURS * 3_600_000 },
      note,
    };
    const arriving = arrivals(jobs);
    if (wanted.hasWorker) {
      for (const gateway of gateways.values()) {
        const end = await gateway.listen?.(arriving.sinkOf(gateway.name));
        if (end !== undefined) stops.push(end);
      }
    }
    const worker = wanted.hasWorker ? startWorker(jobs, wanted.redisUrl) : null;
    if (worker !== null) stops.push(() => worker.stop());
    if (server !== null) {
      server.on(
        'request',
        createWebApp({
          store,
          clock,
          sessions: redisSessions(queues.redis, SHIFT_LIMITS, Date.now),
          gateways,
          inbound: arriving.sinkOf,
          languages: wordsByCode(loadStaffLanguages(join(config.TOELINE_FLOWS, 'staff-languages'))),
          health: () => healthOf(jobs),
          config: { publicUrl },
          note,
          core: jobs.core,
          protocols: flows.protocols,
          onTextsWaiting: () =>
            void keepQueuesFilled(jobs).catch((error) => note('Texts wait for the next sweep.', error)),
          planAheadMs: jobs.options.aheadMs,
          ...(wanted.demo === undefined ? {} : { demo: wanted.demo(jobs, worker) }),
        }),
      );
    }
    return { jobs, store, worker, address, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** The clinic's files, with the check-ins that families are still in the middle of; today's are kept for later. */
async function flowsWithOlder(store: OpenStore, config: Config, clock: Clock): Promise<LoadedFlows> {
  const older = await definitionsInUse(store);
  const flows = loadFlows(
    config.TOELINE_FLOWS,
    // Written by an earlier version of the same loader; what no longer fits is handed to a person when it is met.
    older.map(({ body }) => body as Definition),
  );
  const current = Object.entries(flows.definitions.current);
  await keepDefinitions(
    store,
    current.map(([checkIn, body]) => ({ checkIn, version: body.version, body })),
    clock.now(),
  );
  return flows;
}

/** Takes the port first, so that a port in use is said before anything else is begun. */
async function listen(config: Config): Promise<Server> {
  const server = createServer();
  server.listen(config.TOELINE_PORT, config.TOELINE_HOST);
  try {
    await once(server, 'listening');
    return server;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw error;
    throw new SaidFault(
      `port ${config.TOELINE_PORT} is in use. Stop what uses it, or set TOELINE_PORT to another port (0: any free one).`,
    );
  }
}

function addressOf(server: Server, config: Config): string {
  const { port } = server.address() as AddressInfo;
  return `http://${config.TOELINE_HOST === '0.0.0.0' ? '127.0.0.1' : config.TOELINE_HOST}:${port}`;
}

async function close(server: Server): Promise<void> {
  const closed = new Promise<void>((resolve) => server.close(() => resolve()));
  server.closeIdleConnections();
  const patience = setTimeout(() => server.closeAllConnections(), 5_000);
  await closed;
  clearTimeout(patience);
}
