import { sql } from 'kysely';
import { afterEach, expect, test } from 'vitest';
import { MIGRATIONS, migrate, NewerDatabase } from '../../src/store/migrate.js';
import { type OpenStore, openStore } from '../../src/store/open.js';
import { emptyDatabase, newId } from '../helpers/database.js';

const toClose: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of toClose.splice(0).reverse()) await close();
});

async function openEmpty(): Promise<[OpenStore, OpenStore]> {
  const { url, drop } = await emptyDatabase();
  const stores: [OpenStore, OpenStore] = [openStore({ url, newId }), openStore({ url, newId })];
  toClose.push(
    drop,
    () => stores[0].close(),
    () => stores[1].close(),
  );
  return stores;
}

test('two processes that migrate an empty database at once run every migration exactly once', async () => {
  const [first, second] = await openEmpty();
  const ran = (await Promise.all([migrate(first), migrate(second)])).flat();
  expect(ran).toEqual(MIGRATIONS.map(({ number }) => number));
  expect(await migrate(first)).toEqual([]);
});

test('a database changed by a newer toeline is refused with what to do', async () => {
  const [store] = await openEmpty();
  await migrate(store);
  await sql`insert into migration (number, name) values (999, 'later')`.execute(store.db);
  await expect(migrate(store)).rejects.toThrow(NewerDatabase);
  await expect(migrate(store)).rejects.toThrow(/migration is 999.*restore the backup/);
});

test('a migration that fails leaves nothing of itself behind', async () => {
  const [store] = await openEmpty();
  const broken = {
    number: MIGRATIONS.length + 1,
    name: 'broken',
    up: async (db: Parameters<(typeof MIGRATIONS)[0]['up']>[0]) => {
      await sql`create table half_done (id integer)`.execute(db);
      throw new Error('no');
    },
  };
  await expect(migrate(store, [...MIGRATIONS, broken])).rejects.toThrow('no');
  const tables = await sql`select from pg_tables where schemaname = 'public'`.execute(store.db);
  expect(tables.rows).toEqual([]);
});
