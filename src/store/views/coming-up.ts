import { type Kysely, sql } from 'kysely';
import { at, ms, ofClinic, onlyClinic } from './sql.js';
import type { NextEvent } from './types.js';

/** What the clock will meet next: texts due, texts waiting for their hour, conversations to wake, flags to escalate. */
export async function comingUp(
  db: Kysely<unknown>,
  ask: { clinicId: string | null; now: number; limit: number },
): Promise<NextEvent[]> {
  const { rows } = await sql<NextEvent>`
    select ${ms('due')} as at, what, about from (
      (select p.due_at as due, 'text' as what, p.kind || ' · ' || c.given_name as about
        from planned_text p join child c on c.id = p.child_id
        where p.state = 'planned' and ${onlyClinic('p.clinic_id', ask.clinicId)} and p.due_at > ${at(ask.now)} order by p.due_at limit ${ask.limit})
      union all
      (select o.not_before, 'sending', o.kind from text_out o
        where o.state in ('planned', 'queued') and ${ofClinic('o.clinic_id', ask.clinicId)} and o.not_before > ${at(ask.now)}
        order by o.not_before limit ${ask.limit})
      union all
      (select v.wake_at, 'wake', v.wake_reason || ' · ' || coalesce(c.given_name, '')
        from conversation v join guardian g on g.id = v.guardian_id left join child c on c.id = v.child_id
        where ${onlyClinic('g.clinic_id', ask.clinicId)} and v.wake_at > ${at(ask.now)} order by v.wake_at limit ${ask.limit})
      union all
      (select f.escalate_at, 'escalation', f.matter from flag f
        where f.state <> 'closed' and ${ofClinic('f.clinic_id', ask.clinicId)} and f.escalate_at > ${at(ask.now)} order by f.escalate_at limit ${ask.limit})
    ) events order by due limit ${ask.limit}`.execute(db);
  return rows;
}
