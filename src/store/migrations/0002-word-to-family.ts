import { type Kysely, sql } from 'kysely';

/** A closed matter is told to the family by the jobs, whoever closed it; the mark stands until they have looked. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table flag add column is_family_to_be_told boolean not null default false`.execute(db);
  await sql`create index flag_to_tell on flag (closed_at) where is_family_to_be_told`.execute(db);
}
