import { type Kysely, type RawBuilder, sql } from 'kysely';
import type { Reading } from '../../core/model/reading.js';
import { ms } from './sql.js';
import type { SaidText } from './types.js';

interface SaidColumns {
  id: string;
  direction: 'in' | 'out';
  at: number;
  body: string;
  who: string | null;
  number: string;
  state: string;
  state_at: number;
  kind: string | null;
  reading: Reading | null;
  error: string | null;
}

/** The last texts to and from a child's family, oldest first. Texts of every guardian of the child count. */
export function saidAboutChild(db: Kysely<unknown>, childId: string, limit: number): Promise<SaidText[]> {
  const numbers = sql`(select gu.number from child_guardian cg join guardian gu on gu.id = cg.guardian_id
    where cg.child_id = ${childId}::uuid)`;
  return said(
    db,
    sql`(t.child_id = ${childId}::uuid or (t.child_id is null and t.from_number in ${numbers}))`,
    sql`(o.child_id = ${childId}::uuid or (o.child_id is null and o.to_number in ${numbers}))`,
    limit,
  );
}

/** The last texts to and from one number, oldest first. */
export function saidWithNumber(db: Kysely<unknown>, number: string, limit: number): Promise<SaidText[]> {
  return said(db, sql`t.from_number = ${number}`, sql`o.to_number = ${number}`, limit);
}

/** The name of whoever is known by a number; null: nobody. */
const ownerOf = (column: string) => sql`
  (select k.name from guardian k where k.number = ${sql.raw(column)} order by k.created_at, k.id limit 1)`;

async function said(
  db: Kysely<unknown>,
  ins: RawBuilder<unknown>,
  outs: RawBuilder<unknown>,
  limit: number,
): Promise<SaidText[]> {
  const { rows } = await sql<SaidColumns>`
    select * from (
      (select t.id, 'in' as direction, ${ms('t.received_at')} as at, t.body,
        coalesce(g.name, ${ownerOf('t.from_number')}) as who, t.from_number as number,
        t.state, ${ms('coalesce(t.read_at, t.received_at)')} as state_at, null as kind, t.reading, t.error
      from text_in t left join guardian g on g.id = t.guardian_id
      where ${ins} order by t.received_at desc limit ${limit})
      union all
      (select o.id, 'out' as direction, ${ms('greatest(o.created_at, o.not_before)')} as at, o.body, g.name as who,
        o.to_number as number, o.state, ${ms('o.state_at')} as state_at, o.kind, null::jsonb as reading, o.error
      from text_out o left join guardian g on g.id = o.guardian_id
      where ${outs} order by o.created_at desc limit ${limit})
    ) both_ways order by at desc, id desc limit ${limit}`.execute(db);
  return rows.reverse().map(({ state_at, ...row }) => ({ ...row, stateAt: state_at }));
}
