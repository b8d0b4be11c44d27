import type { ChildId, ClinicId, GuardianId } from '../core/model/ids.js';
import { writeAudit } from './audit.js';
import type { Change } from './change.js';
import { clinicOf } from './clinics.js';
import { type CourseEvent, insertCourseEvent } from './course-events.js';
import { replanChildren } from './replan.js';
import { at, type Store } from './store.js';
import type { Foot } from './tables.js';
import { inTransaction } from './transaction.js';

export interface NewGuardian {
  readonly name: string;
  /** E.164 with the plus sign. */
  readonly number: string;
  readonly language: string;
  readonly relation?: string;
  readonly reads?: boolean;
  /** Local clock time "HH:MM" the family chose for its texts. */
  readonly chosenHour?: string | null;
  readonly consent?: { readonly text: string; readonly on: string; readonly by: string } | null;
}

export interface NewChild {
  readonly givenName: string;
  readonly familyName?: string | null;
  /** What the child is called in texts, as the family chose; the given name unless said. */
  readonly calledInTexts?: string;
  /** ISO date. */
  readonly born: string;
  readonly weeksEarly?: number;
  readonly feet: readonly Foot[];
  readonly protocol?: string;
  readonly travelHours?: number | null;
}

export interface Enrolment {
  readonly clinicId: ClinicId;
  readonly child: NewChild;
  /** In the order in which they are texted: the second only when the first cannot be reached. */
  readonly guardians: readonly NewGuardian[];
  /** What already happened to the child. */
  readonly events?: readonly CourseEvent[];
}

export type { Change } from './change.js';

export interface Enrolled {
  readonly childId: ChildId;
  readonly guardianIds: readonly GuardianId[];
}

/**
 * Enrols a child with its guardians and what already happened, and plans its texts, in one transaction. A guardian the
 * clinic knows by number and name is the same person: siblings share a phone. Throws when no guardian is given or a
 * number is not E.164.
 */
export async function enrol(store: Store, enrolment: Enrolment, change: Change): Promise<Enrolled> {
  checkEnrolment(enrolment);
  const { clinicId, guardians } = enrolment;
  return inTransaction(store, async (tx) => {
    const childId = await insertChild(tx, enrolment, change.now);
    const guardianIds: GuardianId[] = [];
    for (const [index, guardian] of guardians.entries()) {
      const guardianId = await guardianFor(tx, clinicId, guardian, change.now);
      guardianIds.push(guardianId);
      await tx.db
        .insertInto('child_guardian')
        .values({
          child_id: childId,
          guardian_id: guardianId,
          relation: guardian.relation ?? 'parent',
          rank: index + 1,
        })
        .execute();
    }
    for (const event of enrolment.events ?? []) await insertCourseEvent(tx, childId, event, change);
    await replanChildren(tx, [childId], change);
    const entry = { at: change.now, actor: change.by, action: 'enrol-child', subject: `child:${childId}` };
    await writeAudit(tx, { ...entry, clinicId, detail: { guardians: guardianIds } });
    return { childId, guardianIds };
  });
}

function checkEnrolment({ guardians }: Enrolment): void {
  const faults: string[] = [];
  if (guardians.length === 0) faults.push('A child needs at least one guardian with a telephone number.');
  for (const { name, number } of guardians) {
    if (/^\+[1-9]\d{6,14}$/.test(number)) continue;
    faults.push(`The number of ${name} is ${JSON.stringify(number)}: write it as +<country><number>.`);
  }
  if (faults.length > 0) throw new Error(faults.join(' '));
}

async function insertChild(tx: Store, { clinicId, child }: Enrolment, now: number): Promise<ChildId> {
  const clinic = await clinicOf(tx, clinicId);
  const id = tx.newId<ChildId>();
  await tx.db
    .insertInto('child')
    .values({
      id,
      clinic_id: clinicId,
      given_name: child.givenName,
      family_name: child.familyName ?? null,
      called_in_texts: child.calledInTexts ?? child.givenName,
      born: child.born,
      weeks_early: child.weeksEarly ?? 0,
      feet: [...child.feet],
      protocol: child.protocol ?? clinic.protocol,
      travel_hours: child.travelHours ?? null,
      created_at: at(now),
      updated_at: at(now),
    })
    .execute();
  return id;
}

async function guardianFor(
  tx: Store,
  clinicId: ClinicId,
  guardian: NewGuardian,
  now: number,
): Promise<GuardianId> {
  await tx.db
    .insertInto('phone_number')
    .values({ number: guardian.number })
    .onConflict((conflict) => conflict.doNothing())
    .execute();
  const known = await tx.db
    .selectFrom('guardian')
    .select('id')
    .where('clinic_id', '=', clinicId)
    .where('number', '=', guardian.number)
    .where((eb) => eb(eb.fn<string>('lower', ['name']), '=', guardian.name.toLowerCase()))
    .executeTakeFirst();
  if (known !== undefined) return known.id;
  const id = tx.newId<GuardianId>();
  await tx.db
    .insertInto('guardian')
    .values({
      id,
      clinic_id: clinicId,
      name: guardian.name,
      number: guardian.number,
      language: guardian.language,
      reads: guardian.reads ?? true,
      chosen_hour: guardian.chosenHour ?? null,
      consent_text: guardian.consent?.text ?? null,
      consent_on: guardian.consent?.on ?? null,
      consent_by: guardian.consent?.by ?? null,
      created_at: at(now),
    })
    .execute();
  return id;
}

export interface PersonOnNumber {
  readonly guardianId: GuardianId;
  readonly clinicId: ClinicId;
  readonly name: string;
  readonly language: string;
  readonly childIds: readonly ChildId[];
}

/** Who uses a number, longest known first; empty for a number nobody knows. Number in E.164. */
export async function findByNumber(store: Store, number: string): Promise<readonly PersonOnNumber[]> {
  const rows = await store.db
    .selectFrom('guardian')
    .leftJoin('child_guardian', 'child_guardian.guardian_id', 'guardian.id')
    .select(['guardian.id', 'guardian.clinic_id', 'guardian.name', 'guardian.language', 'child_id'])
    .where('guardian.number', '=', number)
    .orderBy('guardian.created_at')
    .orderBy('guardian.id')
    .orderBy('child_id')
    .execute();
  const people = new Map<GuardianId, PersonOnNumber & { readonly childIds: ChildId[] }>();
  for (const row of rows) {
    const { id: guardianId, clinic_id: clinicId, name, language } = row;
    const person = people.get(guardianId) ?? { guardianId, clinicId, name, language, childIds: [] };
    if (row.child_id !== null) person.childIds.push(row.child_id);
    people.set(guardianId, person);
  }
  return [...people.values()];
}

/** Locks guardians for one step each, in one order everywhere. Returns those that exist. */
export async function lockGuardians(tx: Store, ids: readonly GuardianId[]): Promise<readonly GuardianId[]> {
  if (ids.length === 0) return [];
  const rows = await tx.db
    .selectFrom('guardian')
    .select('id')
    .where('id', 'in', ids)
    .orderBy('id')
    .forNoKeyUpdate()
    .execute();
  return rows.map((row) => row.id);
}

/** Who else looks after a guardian's children. */
export async function coGuardians(tx: Store, id: GuardianId): Promise<readonly GuardianId[]> {
  const rows = await tx.db
    .selectFrom('child_guardian as own')
    .innerJoin('child_guardian as other', 'other.child_id', 'own.child_id')
    .select('other.guardian_id')
    .distinct()
    .where('own.guardian_id', '=', id)
    .where('other.guardian_id', '<>', id)
    .execute();
  return rows.map((row) => row.guardian_id);
}
