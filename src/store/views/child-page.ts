import { type Kysely, sql } from 'kysely';
import { type ChildLineColumns, childColumns, childDates, toChildLine } from './child-line.js';
import { ms, onlyClinic } from './sql.js';
import type { ChildPageRow, EventRow, GuardianRow, OpenFlagRow, WearRow } from './types.js';

interface ChildPageColumns extends ChildLineColumns {
  clinic_id: string;
  clinic_name: string;
  time_zone: string;
  call_number: string;
  called_in_texts: string;
  protocol: string;
  travel_hours: number | null;
  weeks_early: number;
  is_texting_stopped: boolean;
  texting_stopped_why: string | null;
}

/** A child with everything its page shows; null when it is not within the viewer's clinic. */
export async function childPage(
  db: Kysely<unknown>,
  ask: { id: string; clinicId: string | null },
): Promise<ChildPageRow | null> {
  const { rows } = await sql<ChildPageColumns>`
    select ${childColumns}, c.clinic_id, cl.name as clinic_name, cl.time_zone, cl.call_number, c.called_in_texts,
      c.protocol, c.travel_hours, c.weeks_early, c.is_texting_stopped, c.texting_stopped_why
    from child c join clinic cl on cl.id = c.clinic_id ${childDates}
    where c.id = ${ask.id}::uuid and ${onlyClinic('c.clinic_id', ask.clinicId)}`.execute(db);
  const [row] = rows;
  const child = row === undefined ? null : toChildLine(row);
  if (row === undefined || child === null) return null;
  const [guardians, events, wear, flags] = await Promise.all([
    guardiansOf(db, ask.id),
    eventsOf(db, ask.id),
    wearOf(db, ask.id),
    flagsOf(db, ask.id),
  ]);
  return {
    child,
    clinicId: row.clinic_id,
    clinicName: row.clinic_name,
    timeZone: row.time_zone,
    clinicNumber: row.call_number,
    calledInTexts: row.called_in_texts,
    protocol: row.protocol,
    travelHours: row.travel_hours === null ? null : Number(row.travel_hours),
    weeksEarly: row.weeks_early,
    isTextingStopped: row.is_texting_stopped,
    textingStoppedWhy: row.texting_stopped_why,
    guardians,
    events,
    wear,
    flags,
  };
}

async function guardiansOf(db: Kysely<unknown>, childId: string): Promise<GuardianRow[]> {
  const { rows } = await sql<GuardianRow>`
    select g.id, g.name, g.number, g.language, g.reads, g.chosen_hour as "chosenHour", cg.relation, cg.rank,
      g.consent_on::text as "consentOn", g.consent_by as "consentBy", n.is_stopped as "isStopped",
      n.unreachable_since is not null as "isUnreachable", ${ms('n.quiet_until')} as "quietUntil"
    from child_guardian cg join guardian g on g.id = cg.guardian_id join phone_number n on n.number = g.number
    where cg.child_id = ${childId}::uuid order by cg.rank, g.name`.execute(db);
  return rows;
}

/** Every event ever recorded, also those corrected or withdrawn, by date. */
async function eventsOf(db: Kysely<unknown>, childId: string): Promise<EventRow[]> {
  const { rows } = await sql<EventRow>`
    select e.id, e.type, e.on_date::text as "date", e.body, s.name as "recordedBy",
      ${ms('e.recorded_at')} as "recordedAt", e.replaced_by as "replacedBy", e.is_withdrawn as "isWithdrawn"
    from course_event e left join staff s on s.id = e.recorded_by
    where e.child_id = ${childId}::uuid order by e.on_date, e.id`.execute(db);
  return rows;
}

async function wearOf(db: Kysely<unknown>, childId: string): Promise<WearRow[]> {
  const { rows } = await sql<WearRow>`
    select on_date::text as "date", low::float8, high::float8 from wear_day
    where child_id = ${childId}::uuid order by on_date desc limit 400`.execute(db);
  return rows.reverse();
}

async function flagsOf(db: Kysely<unknown>, childId: string): Promise<OpenFlagRow[]> {
  const { rows } = await sql<OpenFlagRow>`
    select f.id, f.matter, f.urgency, f.state, f.reason, ${ms('f.opened_at')} as "openedAt", f.outcome
    from flag f where f.child_id = ${childId}::uuid order by f.opened_at desc limit 50`.execute(db);
  return rows;
}
