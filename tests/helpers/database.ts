import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { v7 } from 'uuid';
import { afterAll, beforeAll, inject } from 'vitest';
import { migrate } from '../../src/store/migrate.js';
import { type OpenStore, openStore } from '../../src/store/open.js';
import type { NewId } from '../../src/store/store.js';

export const newId: NewId = <Id extends string>() => v7() as Id;

const TEMPLATE = 'toeline_template';
/** Held while the template is made, and while it is copied (PostgreSQL copies only a database nobody is in). */
const LOCK = 727_001;

function urlOf(database: string): string {
  const url = new URL(inject('databaseUrl'));
  url.pathname = `/${database}`;
  return url.toString();
}

async function onServer<Result>(work: (client: pg.Client) => Promise<Result>): Promise<Result> {
  const client = new pg.Client({ connectionString: inject('databaseUrl') });
  await client.connect();
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}

/** A database of the caller's own, copied from one that was migrated once in this run. */
export async function cloneDatabase(): Promise<{ url: string; drop: () => Promise<void> }> {
  const name = `toeline_test_${randomBytes(6).toString('hex')}`;
  await onServer(async (client) => {
    await client.query('select pg_advisory_lock($1)', [LOCK]);
    const known = await client.query('select from pg_database where datname = $1', [TEMPLATE]);
    if (known.rowCount === 0) {
      await client.query(`create database ${TEMPLATE}`);
      const store = openStore({ url: urlOf(TEMPLATE), newId, connections: 1 });
      await migrate(store);
      await store.close();
    }
    await client.query(`create database ${name} template ${TEMPLATE}`);
  });
  const drop = () =>
    onServer(async (client) => void (await client.query(`drop database if exists ${name} with (force)`)));
  return { url: urlOf(name), drop };
}

/** An empty, not migrated database of the caller's own. */
export async function emptyDatabase(): Promise<{ url: string; drop: () => Promise<void> }> {
  const name = `toeline_test_${randomBytes(6).toString('hex')}`;
  await onServer(async (client) => void (await client.query(`create database ${name}`)));
  const drop = () =>
    onServer(async (client) => void (await client.query(`drop database if exists ${name} with (force)`)));
  return { url: urlOf(name), drop };
}

/** The store of a test file: opened before its tests, closed and dropped after them. */
export function storeForFile(): { readonly store: OpenStore; readonly url: string } {
  let open: { store: OpenStore; url: string; drop: () => Promise<void> } | undefined;
  beforeAll(async () => {
    const { url, drop } = await cloneDatabase();
    open = { store: openStore({ url, newId, connections: 10 }), url, drop };
  });
  afterAll(async () => {
    await open?.store.close();
    await open?.drop();
  });
  const opened = () => {
    if (open === undefined) throw new Error('The store is open only while the tests of its file run.');
    return open;
  };
  return {
    get store() {
      return opened().store;
    },
    get url() {
      return opened().url;
    },
  };
}
