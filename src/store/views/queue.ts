import { type Kysely, type RawBuilder, sql } from 'kysely';
import type { Matter } from '../../core/model/flag.js';
import type { Evidence } from '../../core/model/reading.js';
import { type ChildLineColumns, childColumns, childDates, toChildLine } from './child-line.js';
import { at, ms, ofClinic } from './sql.js';
import type { FlagUrgency, QueueAsk, QueueCounts, QueueRow } from './types.js';

export interface FlagColumns extends ChildLineColumns {
  id: string;
  matter: Matter;
  urgency: FlagUrgency;
  reason: string;
  next_step: string;
  state: QueueRow['state'];
  opened_at: number;
  due_at: number;
  taken_at: number | null;
  taken_by_id: string | null;
  taken_by: string | null;
  clinic_name: string | null;
  time_zone: string | null;
  guardian_name: string | null;
  relation: string | null;
  number: string | null;
  words: string | null;
  evidence: Evidence[] | null;
  texts: number;
}

/** The columns of a flag as lists show it; needs `flag f` and `flagJoins`. */
export const flagColumns: RawBuilder<unknown> = sql`
  f.id, f.matter, f.urgency, f.reason, f.next_step, f.state, ${ms('f.opened_at')} as opened_at,
  ${ms('f.due_at')} as due_at, ${ms('f.taken_at')} as taken_at, f.taken_by as taken_by_id, s.name as taken_by,
  cl.name as clinic_name, cl.time_zone, g.name as guardian_name, g.relation, coalesce(g.number, f.number) as number,
  w.words, w.evidence, coalesce(n.texts, 0)::int as texts, ${childColumns}`;

/** Child, clinic, whoever took it, the guardian to call and the words that decided. */
export const flagJoins: RawBuilder<unknown> = sql`
  left join child c on c.id = f.child_id
  left join clinic cl on cl.id = coalesce(f.clinic_id, c.clinic_id)
  left join staff s on s.id = f.taken_by
  ${childDates}
  left join lateral (
    select gu.name, gu.number, gu.language, gu.id, cg.relation
    from guardian gu left join child_guardian cg on cg.guardian_id = gu.id and cg.child_id = f.child_id
    where gu.id = f.guardian_id or (f.guardian_id is null and cg.child_id is not null)
    order by cg.rank nulls last limit 1
  ) g on true
  left join lateral (
    select t.body as words, e.evidence
    from flag_event e join text_in t on t.id = e.text_in_id
    where e.flag_id = f.id
    order by (e.kind in ('raised', 'worse')) desc, e.at desc, e.id desc limit 1
  ) w on true
  left join lateral (
    select count(distinct e.text_in_id) as texts from flag_event e where e.flag_id = f.id
  ) n on true`;

/** `now` first; within an urgency what is past its limit, then the riskier, then the longer wait (as `compareFlags` in core). */
const rank = (now: number) => sql`
  case f.urgency when 'now' then 0 when 'today' then 1 else 2 end, (f.due_at > ${at(now)}), f.risk desc, f.opened_at, f.id`;

function wanted(ask: QueueAsk): RawBuilder<unknown> {
  const urgency = ask.urgency === null ? sql`true` : sql`f.urgency = ${ask.urgency}`;
  const mine = ask.takenBy === null ? sql`true` : sql`f.taken_by = ${ask.takenBy}::uuid`;
  return sql`f.state <> 'closed' and ${ofClinic('f.clinic_id', ask.clinicId)} and ${urgency} and ${mine}`;
}

/** One page of the queue in its rank. The rows are chosen first and dressed after, so that 10,000 flags stay cheap. */
export async function queueRows(db: Kysely<unknown>, ask: QueueAsk): Promise<QueueRow[]> {
  const { rows } = await sql<FlagColumns>`
    select ${flagColumns}
    from (
      select f.* from flag f where ${wanted(ask)} order by ${rank(ask.now)} limit ${ask.limit} offset ${ask.offset}
    ) f ${flagJoins}
    order by ${rank(ask.now)}`.execute(db);
  return rows.map(toQueueRow);
}

/** Changes with every flag that is raised, worsens, is taken or closed. */
const mark = sql`
  concat_ws(' ', count(*), count(f.taken_by), ${ms('max(greatest(f.opened_at, f.urgency_at, f.taken_at))')})`;

/** How many flags stand, by urgency, past their limit, and taken by this member of staff. */
export async function queueCounts(
  db: Kysely<unknown>,
  ask: { clinicId: string | null; staffId: string; now: number },
): Promise<QueueCounts> {
  const { rows } = await sql<QueueCounts>`
    select count(*) filter (where f.urgency = 'now')::int as now,
           count(*) filter (where f.urgency = 'today')::int as today,
           count(*) filter (where f.urgency = 'soon')::int as soon,
           count(*) filter (where f.taken_by = ${ask.staffId}::uuid)::int as mine,
           count(*) filter (where f.due_at <= ${at(ask.now)})::int as overdue, ${mark} as mark
    from flag f where f.state <> 'closed' and ${ofClinic('f.clinic_id', ask.clinicId)}`.execute(db);
  return rows[0] ?? { now: 0, today: 0, soon: 0, mine: 0, overdue: 0, mark: '' };
}

/** How the queue stands from afar: a mark that changes with everything that changes the list. */
export async function queueNews(
  db: Kysely<unknown>,
  clinicId: string | null,
): Promise<{ now: number; open: number; mark: string }> {
  const { rows } = await sql<{ now: number; open: number; mark: string }>`
    select count(*) filter (where f.urgency = 'now')::int as now, count(*)::int as open, ${mark} as mark
    from flag f where f.state <> 'closed' and ${ofClinic('f.clinic_id', clinicId)}`.execute(db);
  return rows[0] ?? { now: 0, open: 0, mark: '' };
}

export function toQueueRow(row: FlagColumns): QueueRow {
  return {
    id: row.id,
    matter: row.matter,
    urgency: row.urgency,
    reason: row.reason,
    nextStep: row.next_step,
    state: row.state,
    openedAt: row.opened_at,
    dueAt: row.due_at,
    takenAt: row.taken_at,
    takenById: row.taken_by_id,
    takenBy: row.taken_by,
    clinicName: row.clinic_name,
    timeZone: row.time_zone,
    child: toChildLine(row),
    guardianName: row.guardian_name,
    relation: row.relation,
    number: row.number,
    words: row.words,
    evidence: row.evidence ?? [],
    texts: row.texts,
  };
}
