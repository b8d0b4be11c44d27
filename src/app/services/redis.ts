import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { accessSync, constants, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { Redis } from 'ioredis';
import { freePort } from './ports.js';
import { commandLineOf, ended, isAlive, stopProcess } from './processes.js';
import type { Say, Service } from './service.js';

const START_PATIENCE_MS = 30_000;
const STOP_PATIENCE_MS = 15_000;

/**
 * Starts the private Redis of one data folder: loopback, append-only, evicts nothing. One left over from a killed
 * toeline is stopped first.
 */
export async function startRedis(dataFolder: string, _say: Say): Promise<Service> {
  const program = findProgram();
  const folder = join(dataFolder, 'redis');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  await stopLeftOver(folder);
  const port = await freePort();
  const password = randomBytes(24).toString('hex');
  const child = spawn(program, ['-', '--loglevel', 'warning'], {
    detached: true,
    stdio: ['pipe', 'ignore', 'ignore'],
    cwd: folder,
  });
  child.stdin?.end(settings(folder, port, password));
  if (child.pid !== undefined) writeFileSync(join(folder, 'pid'), String(child.pid));
  const url = `redis://:${password}@127.0.0.1:${port}/0`;
  await untilReady(url, ended(child));
  return {
    url,
    stop: async () => {
      if (child.pid !== undefined) await stopProcess(child.pid, 'SIGTERM', STOP_PATIENCE_MS);
    },
  };
}

function findProgram(): string {
  for (const name of ['redis-server', 'valkey-server']) {
    for (const folder of (process.env.PATH ?? '').split(delimiter)) {
      try {
        accessSync(join(folder, name), constants.X_OK);
        return join(folder, name);
      } catch {}
    }
  }
  throw new Error(
    'redis-server was not found on the PATH. Install it (Debian: apt-get install redis-server), or set REDIS_URL.',
  );
}

/** Given on standard input, so that the password stands on no command line. */
function settings(folder: string, port: number, password: string): string {
  return [
    'bind 127.0.0.1',
    `port ${port}`,
    `requirepass ${password}`,
    `dir "${folder}"`,
    'appendonly yes',
    'appendfsync everysec',
    'save ""',
    'maxmemory-policy noeviction',
    'daemonize no',
    `logfile "${join(folder, 'redis.log')}"`,
    '',
  ].join('\n');
}

async function stopLeftOver(folder: string): Promise<void> {
  const file = join(folder, 'pid');
  if (!existsSync(file)) return;
  const pid = Number(readFileSync(file, 'utf8'));
  if (pid > 0 && isAlive(pid) && /(redis|valkey)-server/.test(commandLineOf(pid)))
    await stopProcess(pid, 'SIGTERM', STOP_PATIENCE_MS);
}

async function untilReady(url: string, end: Promise<string>): Promise<void> {
  let over: string | null = null;
  void end.then((how) => {
    over = how;
  });
  const until = Date.now() + START_PATIENCE_MS;
  const redis = new Redis(url, { lazyConnect: true, retryStrategy: () => null, maxRetriesPerRequest: 0 });
  redis.on('error', () => {});
  try {
    for (;;) {
      if (over !== null) throw new Error(`The private Redis stopped at once (${over}).`);
      try {
        if (redis.status !== 'ready') await redis.connect();
        // While it reads its append-only file it answers with an error; that counts as not yet.
        await redis.ping();
        return;
      } catch (error) {
        if (Date.now() > until)
          throw new Error(`The private Redis did not become ready within ${START_PATIENCE_MS / 1000} s.`, {
            cause: error,
          });
        await wait(50);
      }
    }
  } finally {
    redis.disconnect();
  }
}
