import { chmodSync, mkdirSync } from 'node:fs';
import { resolve } from 'node:path';
import { holdDataFolder } from './lock.js';
import { startPostgres } from './postgres.js';
import { startRedis } from './redis.js';
import type { Say } from './service.js';

export interface Services {
  readonly databaseUrl: string;
  readonly redisUrl: string;
  /** Stops what was started here, Redis first, PostgreSQL last; what was given by URL is left alone. */
  stop(): Promise<void>;
}

export interface ServicesWanted {
  /** Holds the private servers' files, and only those. */
  readonly dataFolder: string;
  /** A PostgreSQL to use instead of a private one. */
  readonly databaseUrl?: string | undefined;
  /** A Redis to use instead of a private one. */
  readonly redisUrl?: string | undefined;
  readonly say: Say;
}

/**
 * Makes sure of PostgreSQL and Redis: the given ones, or private ones in the data folder.
 * Throws `AlreadyRunning` when another toeline holds the folder.
 */
export async function startServices(wanted: ServicesWanted): Promise<Services> {
  const stops: (() => Promise<void>)[] = [];
  const stop = async () => {
    for (const one of stops.splice(0).reverse()) await one();
  };
  try {
    if (wanted.databaseUrl !== undefined && wanted.redisUrl !== undefined) {
      return { databaseUrl: wanted.databaseUrl, redisUrl: wanted.redisUrl, stop };
    }
    const dataFolder = resolve(wanted.dataFolder);
    mkdirSync(dataFolder, { recursive: true });
    // The private PostgreSQL may run as another user, who must be able to walk through; what is inside is closed.
    if (process.getuid?.() === 0) chmodSync(dataFolder, 0o711);
    const lock = await holdDataFolder(dataFolder);
    stops.push(lock.release);
    const start = async (given: string | undefined, make: typeof startPostgres) => {
      if (given !== undefined) return given;
      const service = await make(dataFolder, wanted.say);
      stops.push(service.stop);
      return service.url;
    };
    const databaseUrl = await start(wanted.databaseUrl, startPostgres);
    const redisUrl = await start(wanted.redisUrl, startRedis);
    return { databaseUrl, redisUrl, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}
