import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { setUp } from '../../deploy/setup.mjs';
import { startServices } from '../../src/app/services/services.js';

declare module 'vitest' {
  export interface ProvidedContext {
    /** A real PostgreSQL and Redis, shared by the run; every test file takes a database of its own. */
    databaseUrl: string;
    redisUrl: string;
  }
}

/** Once for the whole run: the build, and one private PostgreSQL and Redis in a folder of their own. */
export default async function startForTests(project: TestProject): Promise<() => Promise<void>> {
  setUp();
  const dataFolder = mkdtempSync(join(tmpdir(), 'toeline-tests-'));
  const services = await startServices({
    dataFolder,
    databaseUrl: process.env.TEST_DATABASE_URL,
    redisUrl: process.env.TEST_REDIS_URL,
    say: (line) => process.stderr.write(`tests: ${line}\n`),
  });
  project.provide('databaseUrl', services.databaseUrl);
  project.provide('redisUrl', services.redisUrl);
  return async () => {
    await services.stop();
    rmSync(dataFolder, { recursive: true, force: true });
  };
}
