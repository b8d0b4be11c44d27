import { type Kysely, sql } from 'kysely';
import type { StaffListRow, StaffRow } from './types.js';

interface StaffColumns {
  id: string;
  name: string;
  role: string;
  clinic_id: string | null;
  clinic_name: string | null;
  time_zone: string | null;
  language: string;
}

const columns = sql`s.id, s.name, s.role, s.clinic_id, c.name as clinic_name, c.time_zone, s.language`;

/** A member of staff who may sign in; null when unknown or no longer active. */
export async function activeStaff(db: Kysely<unknown>, id: string): Promise<StaffRow | null> {
  const { rows } = await sql<StaffColumns>`
    select ${columns} from staff s left join clinic c on c.id = s.clinic_id
    where s.id = ${id}::uuid and s.is_active`.execute(db);
  return rows[0] === undefined ? null : toStaff(rows[0]);
}

/** Staff of a clinic (and of all clinics) a flag may be handed to, by name. */
export async function colleagues(db: Kysely<unknown>, clinicId: string | null): Promise<StaffRow[]> {
  const { rows } = await sql<StaffColumns>`
    select ${columns} from staff s left join clinic c on c.id = s.clinic_id
    where s.is_active and s.role <> 'administrator'
      and (${clinicId}::uuid is null or s.clinic_id is null or s.clinic_id = ${clinicId}::uuid)
    order by s.name, s.id`.execute(db);
  return rows.map(toStaff);
}

/** Everybody who works or worked for a clinic; with null, everybody. */
export async function staffList(db: Kysely<unknown>, clinicId: string | null): Promise<StaffListRow[]> {
  const { rows } = await sql<StaffColumns & { is_active: boolean }>`
    select ${columns}, s.is_active from staff s left join clinic c on c.id = s.clinic_id
    where ${clinicId}::uuid is null or s.clinic_id = ${clinicId}::uuid
    order by s.is_active desc, s.name, s.id`.execute(db);
  return rows.map((row) => ({ ...toStaff(row), isActive: row.is_active }));
}

function toStaff(row: StaffColumns): StaffRow {
  return {
    id: row.id,
    name: row.name,
    role: row.role,
    clinicId: row.clinic_id,
    clinicName: row.clinic_name,
    timeZone: row.time_zone,
    language: row.language,
  };
}
