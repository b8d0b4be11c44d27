import { Kysely, PostgresDialect } from 'kysely';
import pg from 'pg';
import type { ClosedDays, NewId, Store } from './store.js';
import type { Tables } from './tables.js';

export interface OpenOptions {
  /** postgres://user@host:port/database */
  readonly url: string;
  readonly newId: NewId;
  readonly closedDays?: ClosedDays;
  /** Connections at most; default 10. */
  readonly connections?: number;
  /** How long to wait for a connection before saying so, in ms; default 10,000. */
  readonly connectTimeoutMs?: number;
  /** Told of a connection that broke while idle (the server was restarted); the pool replaces it by itself. */
  readonly onIdleError?: (error: Error) => void;
}

export interface OpenStore extends Store {
  close(): Promise<void>;
}

const DATE = 1082;
const BIGINT = 20;
const NUMERIC = 1700;
const asText = (value: string): string => value;
const asNumber = (value: string): number => Number(value);

/** Dates stay ISO strings (they have no zone), counts and numerics become numbers, instants become `Date`. */
const types: pg.CustomTypesConfig = {
  getTypeParser(oid: number, format?: 'text' | 'binary') {
    if (oid === DATE) return asText;
    if (oid === BIGINT || oid === NUMERIC) return asNumber;
    return format === 'binary' ? pg.types.getTypeParser(oid, 'binary') : pg.types.getTypeParser(oid, 'text');
  },
} as pg.CustomTypesConfig;

/** Opens a pool on the record. Nothing connects until the first query. */
export function openStore(options: OpenOptions): OpenStore {
  const pool = new pg.Pool({
    connectionString: options.url,
    max: options.connections ?? 10,
    connectionTimeoutMillis: options.connectTimeoutMs ?? 10_000,
    application_name: 'toeline',
    // Dates and times are exchanged in one form whatever the server is set to.
    options: '-c datestyle=ISO -c timezone=UTC',
    types,
  });
  pool.on('error', (error) => options.onIdleError?.(error));
  // A connection that breaks inside a transaction, between two statements, tells nobody but itself: without a listener
  // the process would end. The statement that follows fails and says why.
  pool.on('connect', (client) => client.on('error', () => {}));
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) });
  const { newId, closedDays } = options;
  return { db, newId, ...(closedDays === undefined ? {} : { closedDays }), close: () => db.destroy() };
}
