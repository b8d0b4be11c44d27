import { type Kysely, sql } from 'kysely';
import { at, onlyClinic } from './sql.js';

export interface PhaseCount {
  readonly phase: string;
  readonly children: number;
  readonly overdue: number;
  readonly unreachable: number;
  readonly stopped: number;
}

export interface ActionRow {
  readonly urgency: string;
  readonly flags: number;
  readonly acted: number;
  readonly inTime: number;
  /** Minutes from the flag to the first deed of a nurse; null when nobody has acted yet. */
  readonly median: number | null;
  readonly ninth: number | null;
}

export interface AnswerRow {
  readonly kind: string;
  readonly language: string;
  readonly sent: number;
  readonly answered: number;
}

export interface SentRow {
  readonly month: string;
  readonly texts: number;
  readonly parts: number;
  readonly delivered: number;
  readonly failed: number;
}

export interface WearBand {
  readonly phase: string;
  readonly band: string;
  readonly children: number;
}

interface Ask {
  readonly clinicId: string | null;
  readonly now: number;
}

/** Children by phase, and how many of them have a visit overdue, no way to be texted, or texts stopped. */
export async function caseload(db: Kysely<unknown>, ask: Ask): Promise<PhaseCount[]> {
  const { rows } = await sql<PhaseCount>`
    select c.phase, count(*)::int as children,
      count(*) filter (where exists (select from visit v where v.child_id = c.id and v.status = 'overdue'))::int
        as overdue,
      count(*) filter (where p.unreachable)::int as unreachable,
      count(*) filter (where c.is_texting_stopped or p.stopped)::int as stopped
    from child c left join lateral (
      select coalesce(bool_and(n.is_stopped), false) as stopped,
        coalesce(bool_and(n.unreachable_since is not null), false) as unreachable
      from child_guardian cg join guardian g on g.id = cg.guardian_id join phone_number n on n.number = g.number
      where cg.child_id = c.id
    ) p on true
    where ${onlyClinic('c.clinic_id', ask.clinicId)}
    group by c.phase
    order by array_position(array['before', 'cast', 'tenotomy', 'brace-day', 'brace-night', 'review', 'discharged'],
      c.phase)`.execute(db);
  return rows;
}

/** Flags of the last 90 days: how soon a nurse first did something, by urgency. */
export async function firstActions(db: Kysely<unknown>, ask: Ask): Promise<ActionRow[]> {
  const { rows } = await sql<ActionRow>`
    select f.urgency, count(*)::int as flags, count(f.first_action_at)::int as acted,
      count(*) filter (where f.first_action_at <= f.due_at)::int as "inTime",
      percentile_cont(0.5) within group (order by extract(epoch from f.first_action_at - f.opened_at) / 60)::float8
        as median,
      percentile_cont(0.9) within group (order by extract(epoch from f.first_action_at - f.opened_at) / 60)::float8
        as ninth
    from flag f
    where ${onlyClinic('f.clinic_id', ask.clinicId)} and f.opened_at > ${at(ask.now - 90 * 86_400_000)}
    group by f.urgency order by array_position(array['now', 'today', 'soon'], f.urgency)`.execute(db);
  return rows;
}

/** Questions of the last 30 days and whether the same number wrote within 48 hours, by question and language. */
export async function answers(db: Kysely<unknown>, ask: Ask): Promise<AnswerRow[]> {
  const { rows } = await sql<AnswerRow>`
    select o.kind, o.language, count(*)::int as sent,
      count(*) filter (where exists (select from text_in t where t.from_number = o.to_number
        and t.received_at > o.state_at and t.received_at < o.state_at + interval '48 hours'))::int as answered
    from text_out o
    where o.lane = 'check-in' and o.state in ('accepted', 'delivered') and ${onlyClinic('o.clinic_id', ask.clinicId)}
      and o.created_at > ${at(ask.now - 30 * 86_400_000)}
    group by o.kind, o.language order by o.kind, o.language`.execute(db);
  return rows;
}

/** Texts handed over by month, the last twelve; `parts` as far as gateways told them, else one a text. */
export async function textsByMonth(db: Kysely<unknown>, ask: Ask): Promise<SentRow[]> {
  const { rows } = await sql<SentRow>`
    select to_char(date_trunc('month', o.created_at), 'YYYY-MM') as month, count(*)::int as texts,
      sum(coalesce(o.parts, 1))::int as parts, count(*) filter (where o.state = 'delivered')::int as delivered,
      count(*) filter (where o.state in ('failed', 'expired'))::int as failed
    from text_out o
    where o.state not in ('planned', 'queued', 'dropped', 'withdrawn') and ${onlyClinic('o.clinic_id', ask.clinicId)}
      and o.created_at > ${at(ask.now - 366 * 86_400_000)}
    group by 1 order by 1 desc limit 12`.execute(db);
  return rows;
}

/** Children in brace by their mean told hours of the last 14 days; those who told nothing stand apart. */
export async function wearBands(db: Kysely<unknown>, ask: Ask): Promise<WearBand[]> {
  const { rows } = await sql<WearBand>`
    select phase, band, count(*)::int as children from (
      select c.phase, case when t.hours is null then 'silent' when t.hours < 6 then '0-6' when t.hours < 8 then '6-8'
        when t.hours < 12 then '8-12' when t.hours < 16 then '12-16' when t.hours < 20 then '16-20' else '20-24' end
        as band
      from child c left join lateral (
        select avg((w.low + w.high) / 2) as hours from wear_day w
        where w.child_id = c.id and w.on_date > (${at(ask.now)} - interval '14 days')::date
      ) t on true
      where c.phase in ('brace-day', 'brace-night') and ${onlyClinic('c.clinic_id', ask.clinicId)}
    ) told
    group by phase, band
    order by phase, array_position(array['silent', '0-6', '6-8', '8-12', '12-16', '16-20', '20-24'], band)`.execute(
    db,
  );
  return rows;
}

/** Ids of the children whose treatment has begun, at most `limit`. */
export async function treatedChildren(
  db: Kysely<unknown>,
  ask: { clinicId: string | null; limit: number },
): Promise<string[]> {
  const { rows } = await sql<{ id: string }>`
    select c.id from child c where c.phase <> 'before' and ${onlyClinic('c.clinic_id', ask.clinicId)}
    order by c.id limit ${ask.limit}`.execute(db);
  return rows.map((row) => row.id);
}
