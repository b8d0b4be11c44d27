import { type Kysely, sql } from 'kysely';
import { type ChildLineColumns, childColumns, childDates, toChildLine } from './child-line.js';
import { onlyClinic } from './sql.js';
import type { PhoneOwner } from './types.js';

interface OwnerColumns extends ChildLineColumns {
  guardian_id: string;
  guardian_name: string;
  number: string;
  language: string;
}

/** Guardians with their children, by name or number; `find` empty: all. At most 500 rows of guardian and child. */
export async function phoneOwners(
  db: Kysely<unknown>,
  ask: { clinicId: string | null; find: string },
): Promise<PhoneOwner[]> {
  const like = `%${ask.find.replace(/[\\%_]/g, (c) => `\\${c}`)}%`;
  const { rows } = await sql<OwnerColumns>`
    select g.id as guardian_id, g.name as guardian_name, g.number, g.language, ${childColumns}
    from guardian g join child_guardian cg on cg.guardian_id = g.id join child c on c.id = cg.child_id ${childDates}
    where ${onlyClinic('g.clinic_id', ask.clinicId)}
      and (g.name ilike ${like} or g.number ilike ${like} or c.given_name ilike ${like} or c.family_name ilike ${like})
    order by g.name, g.id, c.id limit 500`.execute(db);
  const owners = new Map<string, PhoneOwner & { children: PhoneOwner['children'] }>();
  for (const row of rows) {
    const child = toChildLine(row);
    const known = owners.get(row.guardian_id);
    owners.set(row.guardian_id, {
      guardianId: row.guardian_id,
      name: row.guardian_name,
      number: row.number,
      language: row.language,
      children: [...(known?.children ?? []), ...(child === null ? [] : [child])],
    });
  }
  return [...owners.values()];
}
