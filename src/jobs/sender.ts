import { parsePhoneNumberFromString } from 'libphonenumber-js';
import type { ChildId, GuardianId } from '../core/model/ids.js';
import { allClinics, type Clinic } from '../store/clinics.js';
import { standingQuestions } from '../store/conversations.js';
import { findByNumber, type PersonOnNumber } from '../store/families.js';
import type { Store } from '../store/store.js';
import type { TextInRow } from '../store/tables.js';

/** Who sent a text. Guardian null: nobody knows the number; then the clinic is known only if there is but one. */
export interface Sender {
  readonly guardianId: GuardianId | null;
  readonly childIds: readonly ChildId[];
  readonly clinic: Clinic | null;
}

/**
 * Finds who sent a text by its number, also when the gateway writes it without the plus sign or as a local number. On
 * a shared phone it is the one with whom a question stands, else the one known longest.
 */
export async function senderOf(tx: Store, text: TextInRow): Promise<Sender> {
  const clinics = await allClinics(tx);
  for (const number of waysToWrite(text.from_number, clinics)) {
    const people = await findByNumber(tx, number);
    const person = await likeliest(tx, people);
    if (person === undefined) continue;
    const clinic = clinics.find(({ id }) => id === person.clinicId) ?? null;
    return { guardianId: person.guardianId, childIds: person.childIds, clinic };
  }
  return { guardianId: null, childIds: [], clinic: clinics.length === 1 ? (clinics[0] ?? null) : null };
}

function waysToWrite(from: string, clinics: readonly Clinic[]): readonly string[] {
  const written = new Set([from]);
  if (/^\d{7,15}$/.test(from)) written.add(`+${from}`);
  for (const country of new Set(clinics.map((clinic) => clinic.country))) {
    const parsed = parsePhoneNumberFromString(from, { defaultCountry: country as 'UG' });
    if (parsed?.isPossible()) written.add(parsed.number);
  }
  return [...written];
}

async function likeliest(tx: Store, people: readonly PersonOnNumber[]): Promise<PersonOnNumber | undefined> {
  if (people.length <= 1) return people[0];
  const questions = await standingQuestions(
    tx,
    people.map(({ guardianId }) => guardianId),
  );
  return people.find(({ guardianId }) => questions.has(guardianId)) ?? people[0];
}
