import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { Redis } from 'ioredis';
import { freePort } from '../../src/app/services/ports.js';
import { startPostgres } from '../../src/app/services/postgres.js';
import { end } from './network-process.js';

export interface StormServers {
  readonly databaseUrl: string;
  readonly redisUrl: string;
  /** SIGKILL, then started again on the same port with what was on disk. */
  killPostgres(): Promise<void>;
  killRedis(): Promise<void>;
  emptyRedis(): Promise<void>;
  stop(): Promise<void>;
}

/** A PostgreSQL and a Redis of the test's own, which come back at the same address after they were killed. */
export async function startStormServers(): Promise<StormServers> {
  const folder = mkdtempSync(join(tmpdir(), 'toeline-storm-'));
  // The server may run as another user, who must be able to walk through.
  chmodSync(folder, 0o711);
  let postgres = await startPostgres(folder, () => {});
  const redisPort = await freePort();
  let redis = await startRedis(folder, redisPort);
  const redisUrl = `redis://127.0.0.1:${redisPort}/0`;
  return {
    databaseUrl: postgres.url,
    redisUrl,
    killPostgres: async () => {
      const [pid] = readFileSync(join(folder, 'postgres', 'postmaster.pid'), 'utf8').split('\n');
      process.kill(Number(pid), 'SIGKILL');
      postgres = await restart(folder, Number(new URL(postgres.url).port));
    },
    killRedis: async () => {
      await end(redis, 'SIGKILL');
      redis = await startRedis(folder, redisPort);
    },
    emptyRedis: async () => {
      const client = new Redis(redisUrl);
      await client.flushall();
      client.disconnect();
    },
    stop: async () => {
      await end(redis, 'SIGTERM');
      await postgres.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/**
 * Backends of the killed server may hold its memory and its port a moment longer. It must come back at the same
 * address: nobody is told of another.
 */
async function restart(folder: string, port: number): ReturnType<typeof startPostgres> {
  for (let attempt = 0; ; attempt += 1) {
    while ((await freePort(port)) !== port) await wait(50);
    try {
      return await startPostgres(folder, () => {});
    } catch (error) {
      if (attempt === 20) throw error;
      await wait(250);
    }
  }
}

async function startRedis(folder: string, port: number): Promise<ChildProcess> {
  const dir = join(folder, 'redis');
  mkdirSync(dir, { recursive: true });
  const args = [
    '--port',
    String(port),
    '--bind',
    '127.0.0.1',
    '--appendonly',
    'yes',
    '--save',
    '',
    '--dir',
    dir,
  ];
  const child = spawn('redis-server', args, { stdio: 'ignore' });
  const client = new Redis(port, '127.0.0.1', { retryStrategy: () => 50, maxRetriesPerRequest: null });
  client.on('error', () => {});
  // Not before it has read its file back.
  for (;;) {
    const answer = await client.ping().catch(() => 'no');
    if (answer === 'PONG') break;
    await wait(50);
  }
  client.disconnect();
  return child;
}
