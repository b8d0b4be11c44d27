import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import pg from 'pg';
import { afterEach, beforeEach, expect, test } from 'vitest';

// Real servers in processes of their own, started as a newcomer's first start would.
let folder: string;
const running: ChildProcess[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'toeline-services-'));
});
afterEach(async () => {
  for (const child of running.splice(0))
    if (child.exitCode === null && child.signalCode === null) await finish(child, 'SIGTERM');
  rmSync(folder, { recursive: true, force: true });
});

interface Started {
  child: ChildProcess;
  databaseUrl: string;
  redisUrl: string;
}

/** Starts the services in a child process, which prints their addresses and stops them on SIGTERM. */
function start(): Promise<Started> {
  const program = `
    import { startServices } from ${JSON.stringify(join(import.meta.dirname, '../../dist/app/services/services.js'))};
    const services = await startServices({ dataFolder: ${JSON.stringify(folder)}, say: () => {} });
    process.on('SIGTERM', async () => { await services.stop(); process.exit(0); });
    console.log(JSON.stringify(services));
    setInterval(() => {}, 1000);
  `;
  const child = spawn(process.execPath, ['--input-type=module', '-e', program], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.push(child);
  return new Promise((resolve, reject) => {
    let out = '';
    let err = '';
    child.stdout?.on('data', (chunk) => {
      out += chunk;
      if (out.includes('\n')) resolve({ child, ...JSON.parse(out) });
    });
    child.stderr?.on('data', (chunk) => {
      err += chunk;
    });
    child.on('exit', () => reject(new Error(err)));
  });
}

function finish(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  return new Promise((resolve) => {
    child.once('exit', () => resolve());
    child.kill(signal);
  });
}

async function query(url: string, words: string): Promise<pg.QueryResult> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await client.query(words);
  } finally {
    await client.end();
  }
}

test('a first start makes a PostgreSQL that syncs to disk and a Redis that appends and evicts nothing', async () => {
  const { databaseUrl, redisUrl } = await start();
  expect((await query(databaseUrl, 'show fsync')).rows).toEqual([{ fsync: 'on' }]);
  const redis = new Redis(redisUrl);
  expect(await redis.config('GET', 'appendonly')).toEqual(['appendonly', 'yes']);
  expect(await redis.config('GET', 'maxmemory-policy')).toEqual(['maxmemory-policy', 'noeviction']);
  await redis.quit();
});

test('a second start on the same folder says that one is running, and harms nothing', async () => {
  const { databaseUrl, child } = await start();
  await expect(start()).rejects.toThrow(`already running on ${folder} (process ${child.pid})`);
  expect((await query(databaseUrl, 'select 1 as one')).rows).toEqual([{ one: 1 }]);
});

test('what was committed before kill -9 is there after the next start, and nothing old runs on', async () => {
  const first = await start();
  await query(first.databaseUrl, 'create table kept (word text)');
  await query(first.databaseUrl, "insert into kept values ('still here')");
  await finish(first.child, 'SIGKILL');
  const second = await start();
  expect((await query(second.databaseUrl, 'select word from kept')).rows).toEqual([{ word: 'still here' }]);
  const old = new Redis(first.redisUrl, { lazyConnect: true, retryStrategy: () => null });
  old.on('error', () => {});
  await expect(old.connect()).rejects.toThrow();
});

test('SIGTERM stops both servers', async () => {
  const { child, databaseUrl } = await start();
  await finish(child, 'SIGTERM');
  await expect(query(databaseUrl, 'select 1')).rejects.toThrow(/ECONNREFUSED/);
});
