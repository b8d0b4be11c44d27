import type { Selectable } from 'kysely';
import type { ClinicFacts } from '../core/model/family.js';
import type { ClinicId } from '../core/model/ids.js';
import { type Actor, writeAudit } from './audit.js';
import { type ClinicSettings, clinicSettings } from './clinic-settings.js';
import { at, type Store } from './store.js';
import type { ClinicTable } from './tables.js';
import { inTransaction } from './transaction.js';

export interface NewClinic {
  readonly name: string;
  /** IANA zone, for example `Africa/Kampala`. */
  readonly timeZone: string;
  /** ISO 3166-1 alpha-2. */
  readonly country: string;
  readonly language?: string;
  /** English weekday names in lower case. */
  readonly clinicDays: readonly string[];
  /** Local clock times "HH:MM". */
  readonly sendingFrom?: string;
  readonly sendingTo?: string;
  readonly opens?: string;
  readonly closes?: string;
  /** ISO dates on which the clinic is closed. */
  readonly closures?: readonly string[];
  readonly callNumber: string;
  readonly emergencyNumber: string;
  readonly protocol?: string;
  readonly settings?: Partial<ClinicSettings>;
}

/** A clinic as the jobs need it: what the core may know, and how it sends. */
export interface Clinic extends ClinicFacts {
  readonly country: string;
  readonly language: string;
  readonly clinicDays: readonly string[];
  readonly closures: readonly string[];
  readonly opens: string;
  readonly closes: string;
  readonly protocol: string;
  readonly settings: ClinicSettings;
}

/** Adds a clinic. Throws with every fault of its settings. */
export async function addClinic(store: Store, clinic: NewClinic, by: Actor, now: number): Promise<ClinicId> {
  const settings = clinicSettings.parse(clinic.settings ?? {});
  return inTransaction(store, async (tx) => {
    const id = tx.newId<ClinicId>();
    await tx.db
      .insertInto('clinic')
      .values({
        id,
        name: clinic.name,
        time_zone: clinic.timeZone,
        country: clinic.country,
        language: clinic.language ?? 'en',
        clinic_days: [...clinic.clinicDays],
        sending_from: clinic.sendingFrom ?? '08:00',
        sending_to: clinic.sendingTo ?? '20:00',
        opens: clinic.opens ?? '08:00',
        closes: clinic.closes ?? '16:00',
        closures: JSON.stringify(clinic.closures ?? []),
        call_number: clinic.callNumber,
        emergency_number: clinic.emergencyNumber,
        protocol: clinic.protocol ?? 'standard',
        settings: JSON.stringify(settings),
        created_at: at(now),
      })
      .execute();
    await writeAudit(tx, { at: now, actor: by, action: 'add-clinic', subject: `clinic:${id}`, clinicId: id });
    return id;
  });
}

/** Changes how a clinic sends; keys left out stay as they are. Throws with every fault of the settings. */
export async function changeClinicSettings(
  store: Store,
  id: ClinicId,
  change: Partial<ClinicSettings>,
  by: Actor,
  now: number,
): Promise<void> {
  await inTransaction(store, async (tx) => {
    const before = await clinicOf(tx, id);
    const settings = clinicSettings.parse({ ...before.settings, ...change });
    await tx.db
      .updateTable('clinic')
      .set({ settings: JSON.stringify(settings) })
      .where('id', '=', id)
      .execute();
    const entry = { at: now, actor: by, action: 'change-clinic-settings', subject: `clinic:${id}` };
    await writeAudit(tx, { ...entry, clinicId: id, detail: { change } });
  });
}

export async function clinicOf(store: Store, id: ClinicId): Promise<Clinic> {
  const row = await store.db.selectFrom('clinic').selectAll().where('id', '=', id).executeTakeFirst();
  if (row === undefined) throw new Error(`No clinic has the id ${id}.`);
  return clinicFrom(row);
}

export async function allClinics(store: Store): Promise<readonly Clinic[]> {
  const rows = await store.db.selectFrom('clinic').selectAll().orderBy('created_at').execute();
  return rows.map(clinicFrom);
}

export function clinicFrom(row: Selectable<ClinicTable>): Clinic {
  return {
    id: row.id,
    name: row.name,
    timeZone: row.time_zone,
    callNumber: row.call_number,
    emergencyNumber: row.emergency_number,
    sendingFrom: row.sending_from,
    sendingTo: row.sending_to,
    country: row.country,
    language: row.language,
    clinicDays: row.clinic_days,
    closures: row.closures,
    opens: row.opens,
    closes: row.closes,
    protocol: row.protocol,
    settings: clinicSettings.parse(row.settings),
  };
}
