import { get } from 'node:http';
import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { type PlainBrowser, signedIn } from './browser.js';
import { clinicIn, familyIn, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

let world: World;
let browser: PlainBrowser;

/** Ten thousand open flags with texts of their own, spread over 100 families. */
beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  const clinic = await clinicIn(world);
  for (let i = 0; i < 100; i += 1) await familyIn(world, clinic, `Child${i}`);
  const { db } = world.store;
  await sql`insert into text_in (id, gateway, provider_id, from_number, to_number, body, raw, received_at)
    select gen_random_uuid(), 'pretend', 'bulk-' || i, g.number, '', 'since ' || i || ' hours the toes look blue and '
      || md5(i::text), '', ${new Date(world.clock.now())}
    from generate_series(1, 10000) i
    join (select number, row_number() over () as place from guardian) g on g.place = 1 + i % 100`.execute(db);
  await sql`insert into flag (id, clinic_id, child_id, guardian_id, number, about, matter, urgency, rule, reason,
      next_step, risk, opened_at, due_at, urgency_at)
    select gen_random_uuid(), c.clinic_id, c.id, null, null, 'child:' || c.id || ':' || i, 'circulation',
      (array['now', 'today', 'soon'])[1 + i % 3], 'toes-in-cast', 'In a cast: toes have changed colour. Text ' || i,
      'Call the family now. Cast off or split as your protocol says.', i % 100,
      ${new Date(world.clock.now())}::timestamptz - i * interval '1 minute',
      ${new Date(world.clock.now())}::timestamptz + (i % 200 - 100) * interval '1 minute',
      ${new Date(world.clock.now())}
    from generate_series(1, 10000) i
    join (select id, clinic_id, row_number() over () as place from child) c on c.place = 1 + i % 100
    on conflict do nothing`.execute(db);
  await sql`insert into flag_event (id, flag_id, at, kind, text_in_id, urgency, signs, evidence)
    select gen_random_uuid(), f.id, f.opened_at, 'raised', t.id, f.urgency, '{toes-discoloured}',
      '[{"sign":"toes-discoloured","start":6,"end":20}]'
    from (select id, opened_at, urgency, row_number() over () as place from flag) f
    join (select id, row_number() over () as place from text_in) t on t.place = f.place`.execute(db);
  await sql`analyze`.execute(db);
  browser = await signedIn(world, await staffIn(world, clinic));
}, 180_000);
afterAll(() => world.close());

function compressed(path: string): Promise<number> {
  const cookie = [...browser.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  return new Promise((resolve, reject) => {
    get(`${world.url}${path}`, { headers: { cookie, 'accept-encoding': 'gzip' } }, (answer) => {
      let bytes = 0;
      answer.on('data', (chunk: Buffer) => {
        bytes += chunk.length;
      });
      answer.on('end', () => resolve(bytes));
    }).on('error', reject);
  });
}

describe('with ten thousand open flags', () => {
  test('the queue weighs at most 14 KB compressed, style and all', async () => {
    const { rows } = await sql<{ count: number }>`select count(*)::int as count from flag`.execute(
      world.store.db,
    );
    expect(rows[0]?.count).toBe(10_000);
    const bytes = await compressed('/queue');
    console.info(`queue page: ${bytes} bytes compressed`);
    expect(bytes).toBeLessThanOrEqual(14 * 1024);
    expect((await browser.get('/queue')).html.match(/<li class="entry"/g)).toHaveLength(20);
  });

  test('the queue is answered in well under a second, also its last page', async () => {
    const took: number[] = [];
    for (let i = 0; i < 30; i += 1) {
      const started = performance.now();
      await browser.get(i % 3 === 0 ? '/queue?page=400' : '/queue');
      took.push(performance.now() - started);
    }
    took.sort((a, b) => a - b);
    console.info(`queue page: median ${took[15]?.toFixed(0)} ms, slowest ${took[29]?.toFixed(0)} ms`);
    expect(took[15]).toBeLessThan(500);
  });
});
