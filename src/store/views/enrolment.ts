import { type Kysely, sql } from 'kysely';
import { onlyClinic } from './sql.js';
import type { ClinicRow, LikelyDuplicate } from './types.js';

/** The clinics this member of staff works for, by name. */
export async function clinics(db: Kysely<unknown>, clinicId: string | null): Promise<ClinicRow[]> {
  const { rows } = await sql<ClinicRow>`
    select c.id, c.name, c.country, c.time_zone as "timeZone", c.language, c.protocol, c.call_number as "callNumber",
      c.emergency_number as "emergencyNumber", c.clinic_days as "clinicDays", c.sending_from as "sendingFrom",
      c.sending_to as "sendingTo", c.opens, c.closes, c.closures
    from clinic c where ${onlyClinic('c.id', clinicId)} order by c.name, c.id`.execute(db);
  return rows;
}

/**
 * Children of this clinic who may be the one about to be enrolled: one of the numbers is known with a child of the same
 * given name or birth, or a child of the same given name was born on the same day.
 */
export async function likelyDuplicates(
  db: Kysely<unknown>,
  ask: { clinicId: string; givenName: string; born: string; numbers: readonly string[] },
): Promise<LikelyDuplicate[]> {
  const { rows } = await sql<LikelyDuplicate>`
    select distinct c.id, concat_ws(' ', c.given_name, c.family_name) as name, c.born::text as born,
      exists (select from child_guardian cg join guardian g on g.id = cg.guardian_id
        where cg.child_id = c.id and g.number = any(${ask.numbers}::text[])) as "hasNumber"
    from child c
    where c.clinic_id = ${ask.clinicId}::uuid and (
      (lower(c.given_name) = lower(${ask.givenName}) and c.born = ${ask.born}::date)
      or ((lower(c.given_name) = lower(${ask.givenName}) or c.born = ${ask.born}::date) and exists (
        select from child_guardian cg join guardian g on g.id = cg.guardian_id
        where cg.child_id = c.id and g.number = any(${ask.numbers}::text[]))))
    order by name limit 5`.execute(db);
  return rows;
}

/** Which of these children the clinic has already, by given name and day of birth. */
export async function knownChildren(
  db: Kysely<unknown>,
  ask: {
    clinicId: string;
    children: readonly { readonly givenName: string; readonly born: string }[];
  },
): Promise<{ givenName: string; born: string }[]> {
  const { rows } = await sql<{ givenName: string; born: string }>`
    select distinct c.given_name as "givenName", c.born::text as born
    from jsonb_to_recordset(${JSON.stringify(ask.children)}::jsonb) as w ("givenName" text, born date)
    join child c on c.born = w.born and lower(c.given_name) = lower(w."givenName")
    where c.clinic_id = ${ask.clinicId}::uuid`.execute(db);
  return rows;
}
