import { type Kysely, sql } from 'kysely';
import type { Evidence } from '../../core/model/reading.js';
import { type FlagColumns, flagColumns, flagJoins, toQueueRow } from './queue.js';
import { ms, ofClinic } from './sql.js';
import type { FlagEventRow, FlagPageRow } from './types.js';

interface FlagPageColumns extends FlagColumns {
  clinic_id: string | null;
  guardian_id: string | null;
  guardian_language: string | null;
  rule: string;
  risk: number;
  urgency_at: number;
  closed_at: number | null;
  closed_by: string | null;
  outcome: string | null;
  first_action_at: number | null;
}

interface EventColumns {
  id: string;
  at: number;
  kind: string;
  staff_name: string | null;
  urgency: string | null;
  note: string | null;
  signs: string[];
  evidence: Evidence[];
  words: string | null;
}

/** One flag with everything that happened to it, oldest first; null when it is not within the viewer's clinic. */
export async function flagPage(
  db: Kysely<unknown>,
  ask: { id: string; clinicId: string | null },
): Promise<FlagPageRow | null> {
  const found = await sql<FlagPageColumns>`
    select ${flagColumns}, coalesce(f.clinic_id, c.clinic_id) as clinic_id, g.id as guardian_id,
      g.language as guardian_language, f.rule, f.risk, ${ms('f.urgency_at')} as urgency_at,
      ${ms('f.closed_at')} as closed_at, cb.name as closed_by, f.outcome,
      ${ms('f.first_action_at')} as first_action_at
    from flag f ${flagJoins} left join staff cb on cb.id = f.closed_by
    where f.id = ${ask.id}::uuid and ${ofClinic('f.clinic_id', ask.clinicId)}`.execute(db);
  const row = found.rows[0];
  if (row === undefined) return null;
  const events = await sql<EventColumns>`
    select e.id, ${ms('e.at')} as at, e.kind, s.name as staff_name, e.urgency, e.note, e.signs, e.evidence,
      t.body as words
    from flag_event e left join staff s on s.id = e.staff_id left join text_in t on t.id = e.text_in_id
    where e.flag_id = ${ask.id}::uuid order by e.at, e.id`.execute(db);
  return {
    ...toQueueRow(row),
    clinicId: row.clinic_id,
    guardianId: row.guardian_id,
    guardianLanguage: row.guardian_language,
    rule: row.rule,
    risk: row.risk,
    urgencyAt: row.urgency_at,
    closedAt: row.closed_at,
    closedBy: row.closed_by,
    outcome: row.outcome,
    firstActionAt: row.first_action_at,
    events: events.rows.map(toEvent),
  };
}

function toEvent(row: EventColumns): FlagEventRow {
  const { staff_name, ...rest } = row;
  return { ...rest, staffName: staff_name };
}
