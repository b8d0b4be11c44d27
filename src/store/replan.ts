import { sql } from 'kysely';
import type { ChildId, PlannedTextId } from '../core/model/ids.js';
import { childRecords, type PlannableChild } from './child-records.js';
import type { CoursePlan, PlanCourse } from './course-record.js';
import { raise } from './flags.js';
import { shareOf } from './spread.js';
import { at, type Store } from './store.js';

interface Planning {
  readonly now: number;
  readonly plan: PlanCourse;
  /** Texts due before `now + aheadMs` are written down. */
  readonly aheadMs: number;
}

/**
 * Computes the course of these children and writes its visits and texts: new texts are added, moved ones moved, those
 * no longer wanted withdrawn, sent ones left alone. Idempotent. The caller holds the children's rows, by lock or by
 * having just made them.
 */
export async function replanChildren(tx: Store, ids: readonly ChildId[], planning: Planning): Promise<void> {
  const until = planning.now + planning.aheadMs;
  const children = await childRecords(tx, ids);
  const plans = children.map((child) => ({ child, plan: planning.plan(child.record, planning.now, until) }));
  await writeVisits(tx, plans);
  await writeTexts(tx, plans);
  await withdrawOthers(tx, plans, planning.now);
  await writePhases(tx, plans, planning.now, until);
  await raiseNew(tx, plans, planning.now);
}

const MINUTE_MS = 60_000;
/** An alert somebody has seen and closed is not raised again for so long, unless it says something new. */
const SEEN_FOR_MS = 30 * 86_400_000;

async function raiseNew(tx: Store, plans: readonly Planned[], now: number): Promise<void> {
  const alerts = plans.flatMap(({ child, plan }) => plan.alerts.map((alert) => ({ child, ...alert })));
  if (alerts.length === 0) return;
  // The history, not the flag itself: an alert that joined an open flag stands in its history only.
  const rows = await tx.db
    .selectFrom('flag_event')
    .innerJoin('flag', 'flag.id', 'flag_event.flag_id')
    .select(['flag.child_id', 'flag_event.note'])
    .where('flag.child_id', 'in', [...new Set(alerts.map(({ child }) => child.id))])
    .where('flag_event.kind', 'in', ['raised', 'again', 'worse'])
    .where('flag_event.at', '>', at(now - SEEN_FOR_MS))
    .execute();
  const known = new Set(rows.map((row) => `${row.child_id} ${row.note}`));
  for (const { child, flag, dueAt } of alerts) {
    if (known.has(`${child.id} ${flag.reason}`)) continue;
    const about = { clinicId: child.clinicId, childId: child.id, guardianId: child.guardianId, number: null };
    await raise(tx, { about, flag, dueAt, textInId: null }, now);
  }
}

interface Planned {
  readonly child: PlannableChild;
  readonly plan: CoursePlan;
}

/** The visits are rewritten whole: nothing points at them. */
async function writeVisits(tx: Store, plans: readonly Planned[]): Promise<void> {
  if (plans.length === 0) return;
  const ids = plans.map(({ child }) => child.id);
  await tx.db.deleteFrom('visit').where('child_id', 'in', ids).execute();
  const rows = plans.flatMap(({ child, plan }) =>
    plan.visits.map((visit) => ({
      child_id: child.id,
      clinic_id: child.clinicId,
      kind: visit.kind,
      due: visit.due,
      window_from: visit.windowFrom,
      window_to: visit.windowTo,
      status: visit.status,
    })),
  );
  // One JSON parameter, because a row a parameter would meet the protocol's limit of 65,535.
  await sql`insert into visit (child_id, clinic_id, kind, due, window_from, window_to, status)
    select child_id, clinic_id, kind, due, window_from, window_to, status
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as v
      (child_id uuid, clinic_id uuid, kind text, due date, window_from date, window_to date, status text)
    on conflict do nothing`.execute(tx.db);
}

async function writeTexts(tx: Store, plans: readonly Planned[]): Promise<void> {
  const rows = plans.flatMap(({ child, plan }) => {
    if (child.guardianId === null) return [];
    return plan.texts.map((text) => ({
      id: tx.newId<PlannedTextId>(),
      clinic_id: child.clinicId,
      child_id: child.id,
      guardian_id: child.guardianId,
      kind: text.kind,
      for_what: text.forWhat,
      due_at: at(text.dueAt + spreadMs(child, text)),
      expires_at: at(text.expiresAt),
    }));
  });
  if (rows.length === 0) return;
  // A text already tried through another guardian is the same text: only its own row may come back to life.
  await sql`insert into planned_text (id, clinic_id, child_id, guardian_id, kind, for_what, due_at, expires_at)
    select p.id, p.clinic_id, p.child_id, p.guardian_id, p.kind, p.for_what, p.due_at, p.expires_at
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as p (id uuid, clinic_id uuid, child_id uuid,
      guardian_id uuid, kind text, for_what text, due_at timestamptz, expires_at timestamptz)
    where not exists (select from planned_text other where other.child_id = p.child_id and other.kind = p.kind
      and other.for_what = p.for_what and other.guardian_id <> p.guardian_id and other.state <> 'withdrawn')
    on conflict (child_id, guardian_id, kind, for_what) do update
      set due_at = excluded.due_at, expires_at = excluded.expires_at, state = 'planned', note = null
      where planned_text.state in ('planned', 'withdrawn')
        and (planned_text.due_at, planned_text.expires_at, planned_text.state)
          is distinct from (excluded.due_at, excluded.expires_at, 'planned')`.execute(tx.db);
}

/** Minutes of its own for each text, so that the clinic's hour is no flood; never beyond the text's own time. */
function spreadMs(child: PlannableChild, text: CoursePlan['texts'][number]): number {
  const share = shareOf(`${child.id} ${text.kind} ${text.forWhat}`);
  const most = Math.min(
    child.spreadMinutes * MINUTE_MS,
    Math.max(0, text.expiresAt - text.dueAt - MINUTE_MS),
  );
  return Math.floor(share * most);
}

/** What the course no longer wants. What has gone stale is left to be dropped with its own note. */
async function withdrawOthers(tx: Store, plans: readonly Planned[], now: number): Promise<void> {
  const wanted = plans.flatMap(({ child, plan }) =>
    plan.texts.map(({ kind, forWhat }) => ({ child_id: child.id, kind, for_what: forWhat })),
  );
  await sql`update planned_text set state = 'withdrawn', note = 'the course changed'
    where child_id = any(${plans.map(({ child }) => child.id)}::uuid[]) and state = 'planned'
      and is_from_course and expires_at > ${at(now)} and (child_id, kind, for_what) not in (select child_id, kind, for_what
        from jsonb_to_recordset(${JSON.stringify(wanted)}::jsonb) as w (child_id uuid, kind text, for_what text))`.execute(
    tx.db,
  );
}

/**
 * When to look again: once half of what was written down has passed, or when the course changes by itself. Always
 * after now: a child that asked to be looked at again at once would be planned for ever.
 */
async function writePhases(tx: Store, plans: readonly Planned[], now: number, until: number): Promise<void> {
  const halfway = now + (until - now) / 2;
  const phases = plans.map(({ child, plan }) => ({
    id: child.id,
    phase: plan.phase,
    again: at(Math.max(now + MINUTE_MS, Math.min(halfway, plan.nextChange ?? halfway))),
  }));
  await sql`update child set phase = p.phase, planned_until = p.again, updated_at = ${at(now)},
      version = version + 1
    from jsonb_to_recordset(${JSON.stringify(phases)}::jsonb) as p (id uuid, phase text, again timestamptz)
    where child.id = p.id`.execute(tx.db);
}
