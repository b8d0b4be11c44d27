import { sql } from 'kysely';
import { beforeAll, expect, test } from 'vitest';
import { newId, storeForFile } from '../helpers/database.js';
import { someClinic } from '../helpers/family.js';

const file = storeForFile();

/** Enough rows that a plan without the index would read far more than one with it. */
const ROWS = 40_000;

beforeAll(async () => {
  const clinic = await someClinic(file.store);
  await sql`insert into child (id, clinic_id, given_name, called_in_texts, born, feet, protocol, created_at, updated_at, planned_until)
    select gen_random_uuid(), ${clinic}, 'A', 'A', '2026-01-01', '{left}', 'standard', now(), now(), now() + (n - 300) * interval '1 minute'
    from generate_series(1, ${ROWS}) n`.execute(file.store.db);
  await sql`insert into phone_number (number) values ('+15550100999')`.execute(file.store.db);
  await sql`insert into guardian (id, clinic_id, name, number, language, created_at)
    values (${newId()}, ${clinic}, 'G', '+15550100999', 'en', now())`.execute(file.store.db);
  await sql`insert into planned_text (id, clinic_id, child_id, guardian_id, kind, for_what, due_at, expires_at, state)
    select gen_random_uuid(), ${clinic}, c.id, g.id, 'cast-day', 'x', now() + random() * interval '30 days', now() + interval '60 days',
      case when random() < 0.9 then 'sent' else 'planned' end
    from child c, guardian g`.execute(file.store.db);
  await sql`insert into text_out (id, key, to_number, kind, lane, promised, language, body, not_before, created_at, state_at, state, handed_over_at, needs_care)
    select gen_random_uuid(), n::text, '+15550100999', 'cast-day', 'check-in', 'at-most-once', 'en', 'x', now() + random() * interval '30 days', now(), now(),
      case when n % 50 = 0 then 'planned' when n % 400 = 1 then 'handed-over' else 'delivered' end, now(), n % 500 = 2
    from generate_series(1, ${ROWS}) n`.execute(file.store.db);
  await sql`insert into text_in (id, gateway, provider_id, from_number, to_number, body, raw, received_at, state)
    select gen_random_uuid(), 'a', n::text, '+1555' || n, 'x', 'x', 'x', now() - n * interval '1 minute', case when n % 400 = 0 then 'stored' else 'read' end
    from generate_series(1, ${ROWS}) n`.execute(file.store.db);
  await sql`analyze`.execute(file.store.db);
});

const QUERIES: Readonly<Record<string, string>> = {
  'children whose plan runs out': `select id from child where not is_texting_stopped and phase <> 'discharged'
    and planned_until <= now() order by planned_until, id limit 500 for update skip locked`,
  'planned texts of one hour': `select id, due_at from planned_text where state = 'planned' and due_at < now() + interval '1 hour'
    order by due_at, id limit 500`,
  'a later page of planned texts': `select id, due_at from planned_text where state = 'planned' and due_at < now() + interval '20 days'
    and (due_at, id) > (now() + interval '19 days', '00000000-0000-0000-0000-000000000000') order by due_at, id limit 200`,
  'texts to put in the queue': `select id, lane, coalesce(next_try_at, not_before) from text_out where state in ('planned', 'queued')
    and coalesce(next_try_at, not_before) < now() + interval '1 hour' order by coalesce(next_try_at, not_before), id limit 500`,
  'hand-overs without an answer': `select id from text_out where state = 'handed-over'
    and handed_over_at < clock_timestamp() - 120000 * interval '1 millisecond' order by handed_over_at limit 500`,
  'texts that failed': `select * from text_out where needs_care order by state_at limit 100 for update skip locked`,
  'texts nobody has read': `select id from text_in where state = 'stored' and received_at <= now() and part_total is null
    order by received_at limit 1000`,
  'the same words by another gateway': `select id from text_in where from_number = '+15557' and received_at > now() - interval '10 minutes'
    and body = 'x' and gateway <> 'b' and state <> 'joined' order by received_at limit 1`,
  'a report’s text': `select id from text_out where gateway = 'a' and provider_id = 'b' limit 1`,
};

test.each(Object.entries(QUERIES))('finding %s reads an index, not the table', async (_what, query) => {
  const found = await sql.raw<{ 'QUERY PLAN': string }>(`explain ${query}`).execute(file.store.db);
  const plan = found.rows.map((row) => row['QUERY PLAN']).join('\n');
  expect(plan).toMatch(/Index/);
  expect(plan).not.toMatch(/Seq Scan/);
});

test('the check sees a table read from end to end when there is no index for it', async () => {
  const found = await sql
    .raw<{ 'QUERY PLAN': string }>(`explain select id from text_out where body = 'y'`)
    .execute(file.store.db);
  expect(found.rows.map((row) => row['QUERY PLAN']).join('\n')).toMatch(/Seq Scan/);
});
