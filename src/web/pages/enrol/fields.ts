import { type CountryCode, parsePhoneNumberFromString } from 'libphonenumber-js';
import type { NewChild, NewGuardian } from '../../../store/families.js';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Form } from '../../form.js';
import type { Fault } from '../../parts/fault.js';
import { isDate } from '../visit/fields.js';

/** Languages families may be texted in. */
export const FAMILY_LANGUAGES = ['en', 'es', 'fr', 'pt', 'sw', 'hi', 'bn', 'ar'] as const;
export const RELATIONS = [
  'mother',
  'father',
  'grandmother',
  'grandfather',
  'aunt',
  'uncle',
  'guardian',
  'other',
] as const;

export interface EnrolFields {
  readonly child: NewChild;
  readonly guardians: readonly NewGuardian[];
  /** Date of the first cast when treatment has begun already; empty: not yet. */
  readonly firstCast: string;
}

export type ReadEnrol =
  | { readonly isValid: true; readonly fields: EnrolFields }
  | { readonly isValid: false; readonly faults: readonly Fault[] };

/** Reads the enrolment form of one clinic; every fault at once. `today` is the clinic's local date. */
export function readEnrol(form: Form, clinic: ClinicRow, today: string): ReadEnrol {
  const faults: Fault[] = [];
  const fault = (key: string, values?: Fault['values']) =>
    void faults.push({ key: `enrol.fault-${key}`, ...(values === undefined ? {} : { values }) });
  const givenName = form.get('given').slice(0, 80);
  if (givenName === '') fault('given');
  const born = form.get('born');
  if (!isDate(born) || born > today) fault('born');
  else if (born < `${Number(today.slice(0, 4)) - 18}${today.slice(4)}`) fault('too-old');
  const feet = (['left', 'right'] as const).filter((foot) => form.all('feet').includes(foot));
  if (feet.length === 0) fault('feet');
  const weeksEarly = readNumber(form.get('weeks-early'), 18);
  if (weeksEarly === 'wrong') fault('weeks-early');
  const travelHours = readNumber(form.get('travel'), 100);
  if (travelHours === 'wrong') fault('travel');
  const firstCast = form.get('first-cast');
  if (firstCast !== '' && (!isDate(firstCast) || firstCast > today || firstCast < born)) fault('first-cast');
  if (form.get('consent') !== 'yes') fault('consent');
  const first = readGuardian(form, 'g1', clinic, faults);
  const hasSecond = form.get('g2.name') !== '' || form.get('g2.number') !== '';
  const second = hasSecond ? readGuardian(form, 'g2', clinic, faults) : null;
  if (second !== null && first !== null && second.number === first.number) fault('same-number');
  if (faults.length > 0 || first === null || weeksEarly === 'wrong' || travelHours === 'wrong') {
    return { isValid: false, faults };
  }
  const familyName = form.get('family').slice(0, 80);
  const called = form.get('called').slice(0, 40);
  return {
    isValid: true,
    fields: {
      child: {
        givenName,
        familyName: familyName === '' ? null : familyName,
        calledInTexts: called === '' ? givenName : called,
        born,
        weeksEarly: Math.round(weeksEarly ?? 0),
        feet,
        travelHours,
      },
      guardians: second === null ? [first] : [first, second],
      firstCast,
    },
  };
}

function readGuardian(
  form: Form,
  prefix: 'g1' | 'g2',
  clinic: ClinicRow,
  faults: Fault[],
): NewGuardian | null {
  const name = form.get(`${prefix}.name`).slice(0, 80);
  const number = toE164(form.get(`${prefix}.number`), clinic.country);
  const language = FAMILY_LANGUAGES.find((code) => code === form.get(`${prefix}.language`));
  const hour = form.get(`${prefix}.hour`);
  const before = faults.length;
  if (name === '') faults.push({ key: `enrol.fault-${prefix}-name` });
  if (number === null) faults.push({ key: `enrol.fault-${prefix}-number` });
  if (language === undefined) faults.push({ key: `enrol.fault-${prefix}-language` });
  if (
    hour !== '' &&
    (!/^([01]\d|2[0-3]):[0-5]\d$/.test(hour) || hour < clinic.sendingFrom || hour >= clinic.sendingTo)
  ) {
    faults.push({
      key: `enrol.fault-${prefix}-hour`,
      values: { from: clinic.sendingFrom, to: clinic.sendingTo },
    });
  }
  if (faults.length > before || number === null || language === undefined) return null;
  return {
    name,
    number,
    language,
    relation: RELATIONS.find((one) => one === form.get(`${prefix}.relation`)) ?? 'guardian',
    reads: form.get(`${prefix}.reads`) !== 'no',
    chosenHour: hour === '' ? null : hour,
  };
}

/** A number as written locally or with its country, as E.164; null when it cannot be a telephone number. */
export function toE164(text: string, country: string): string | null {
  const parsed = parsePhoneNumberFromString(text, country as CountryCode);
  return parsed?.isPossible() === true ? parsed.number : null;
}

function readNumber(text: string, most: number): number | null | 'wrong' {
  if (text === '') return null;
  const value = Number(text.replace(',', '.'));
  return Number.isFinite(value) && value >= 0 && value <= most ? value : 'wrong';
}
