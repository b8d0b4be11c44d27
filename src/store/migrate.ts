import { type Kysely, sql } from 'kysely';
import * as record from './migrations/0001-record.js';
import * as wordToFamily from './migrations/0002-word-to-family.js';
import type { Store } from './store.js';
import type { Tables } from './tables.js';

export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly up: (db: Kysely<unknown>) => Promise<void>;
}

/** Forward only, in order, never edited once a clinic has run them. */
export const MIGRATIONS: readonly Migration[] = [
  { number: 1, name: 'record', up: record.up },
  { number: 2, name: 'word-to-family', up: wordToFamily.up },
];

/** The database was made by a newer toeline: running on would misread or damage it. */
export class NewerDatabase extends Error {
  override readonly name = 'NewerDatabase';
  constructor(found: number, known: number) {
    super(
      `This database was last changed by a newer toeline (its migration is ${found}, this one knows ${known}): ` +
        'install that newer version again, or restore the backup made before it was installed.',
    );
  }
}

/** One number for the advisory lock every migrating process takes. */
const LOCK = 7_058_254_091;

/**
 * Brings the database up to this code. Safe to call from several processes at once: the first holds an advisory
 * lock, the others wait and find nothing left to do. Returns the numbers it ran; throws {@link NewerDatabase}.
 */
export async function migrate(store: Store, migrations = MIGRATIONS): Promise<readonly number[]> {
  return store.db.transaction().execute(async (tx) => {
    await sql`select pg_advisory_xact_lock(${LOCK})`.execute(tx);
    await sql`create table if not exists migration (
      number integer primary key,
      name text not null,
      run_at timestamptz not null default clock_timestamp()
    )`.execute(tx);
    const done = await sql<{ number: number }>`select number from migration`.execute(tx);
    const found = Math.max(0, ...done.rows.map((row) => row.number));
    const known = Math.max(0, ...migrations.map((migration) => migration.number));
    if (found > known) throw new NewerDatabase(found, known);
    return runThose(
      tx,
      migrations.filter((migration) => migration.number > found),
    );
  });
}

async function runThose(tx: Kysely<Tables>, migrations: readonly Migration[]): Promise<readonly number[]> {
  for (const { number, name, up } of migrations) {
    await up(tx as unknown as Kysely<unknown>);
    await sql`insert into migration (number, name) values (${number}, ${name})`.execute(tx);
  }
  return migrations.map((migration) => migration.number);
}
