import { sql } from 'kysely';
import type { ChildId, ClinicId, GuardianId } from '../core/model/ids.js';
import { type ClinicSettings, clinicSettings } from './clinic-settings.js';
import type { ChildRecord, CourseEvent } from './course-record.js';
import type { Store } from './store.js';

/** A child's record with what planning writes beside it. */
export interface PlannableChild {
  readonly id: ChildId;
  readonly clinicId: ClinicId;
  /** Whom the course's texts go to: the first guardian whose number is neither stopped nor unreachable. */
  readonly guardianId: GuardianId | null;
  readonly record: ChildRecord;
  /** The clinic's minutes over which texts of one hour are spread. */
  readonly spreadMinutes: number;
}

/** The records of these children, in two queries however many they are. */
export async function childRecords(tx: Store, ids: readonly ChildId[]): Promise<readonly PlannableChild[]> {
  if (ids.length === 0) return [];
  const [children, events] = await Promise.all([childrenOf(tx, ids), eventsOf(tx, ids)]);
  const settings = settingsOnce();
  return children.map((row) => ({
    id: row.id,
    clinicId: row.clinic_id,
    spreadMinutes: settings(row.clinic_id, row.settings).spreadMinutes,
    guardianId: row.guardian_id,
    record: {
      child: {
        id: row.id,
        born: row.born,
        feet: row.feet,
        weeksEarly: row.weeks_early,
        enrolled: row.enrolled,
      },
      clinic: {
        timeZone: row.time_zone,
        clinicDays: row.clinic_days,
        holidays: tx.closedDays?.(row.country, row.closures) ?? row.closures,
        sendingFrom: row.sending_from,
        sendingTo: row.sending_to,
        opens: row.opens,
        closes: row.closes,
        staffDays: settings(row.clinic_id, row.settings).staffDays,
      },
      protocol: row.protocol,
      events: events.get(row.id) ?? [],
      chosenHour: row.chosen_hour,
    },
  }));
}

/** Settings are checked once a clinic, not once a child. */
function settingsOnce(): (clinicId: ClinicId, settings: unknown) => ClinicSettings {
  const known = new Map<ClinicId, ClinicSettings>();
  return (clinicId, settings) => {
    const checked = known.get(clinicId) ?? clinicSettings.parse(settings);
    known.set(clinicId, checked);
    return checked;
  };
}

function childrenOf(tx: Store, ids: readonly ChildId[]) {
  return tx.db
    .selectFrom('child')
    .innerJoin('clinic', 'clinic.id', 'child.clinic_id')
    .leftJoinLateral(
      (eb) =>
        eb
          .selectFrom('child_guardian')
          .innerJoin('guardian', 'guardian.id', 'child_guardian.guardian_id')
          .innerJoin('phone_number', 'phone_number.number', 'guardian.number')
          .whereRef('child_guardian.child_id', '=', 'child.id')
          .select(['guardian.id as guardian_id', 'guardian.chosen_hour'])
          .orderBy('phone_number.is_stopped')
          .orderBy((order) => order('unreachable_since', 'is not', null))
          .orderBy('rank')
          .limit(1)
          .as('first'),
      (join) => join.onTrue(),
    )
    .select([
      'child.id',
      'child.clinic_id',
      'child.born',
      'child.feet',
      'child.weeks_early',
      'child.protocol',
      'clinic.time_zone',
      'clinic.clinic_days',
      'clinic.country',
      'clinic.closures',
      'clinic.settings',
      'clinic.sending_from',
      'clinic.sending_to',
      'clinic.opens',
      'clinic.closes',
      sql<string>`to_char(child.created_at at time zone clinic.time_zone, 'YYYY-MM-DD')`.as('enrolled'),
      'first.guardian_id',
      'first.chosen_hour',
    ])
    .where('child.id', 'in', ids)
    .execute();
}

async function eventsOf(tx: Store, ids: readonly ChildId[]): Promise<Map<ChildId, CourseEvent[]>> {
  const rows = await tx.db
    .selectFrom('course_event')
    .select(['child_id', 'type', 'on_date', 'body'])
    .where('child_id', 'in', ids)
    .where('replaced_by', 'is', null)
    .where('is_withdrawn', '=', false)
    .orderBy('child_id')
    .orderBy('on_date')
    .orderBy('id')
    .execute();
  const events = new Map<ChildId, CourseEvent[]>();
  for (const { child_id, type, on_date, body } of rows) {
    const event: CourseEvent = { ...body, type, date: on_date };
    const known = events.get(child_id);
    if (known === undefined) events.set(child_id, [event]);
    else known.push(event);
  }
  return events;
}
