import type { ClinicRow } from '../../../store/views/types.js';
import { readCsv } from '../../csv.js';
import { readForm } from '../../form.js';
import type { Fault } from '../../parts/fault.js';
import { type EnrolFields, FAMILY_LANGUAGES, RELATIONS, readEnrol } from '../enrol/fields.js';
import { isDate } from '../visit/fields.js';

/** Columns of a list of families and the field of the enrolment form each fills. */
export const COLUMNS: Readonly<Record<string, string>> = {
  child: 'given',
  family_name: 'family',
  called: 'called',
  born: 'born',
  feet: 'feet',
  first_cast: 'first-cast',
  weeks_early: 'weeks-early',
  travel_hours: 'travel',
  guardian: 'g1.name',
  number: 'g1.number',
  relation: 'g1.relation',
  language: 'g1.language',
  reads: 'g1.reads',
  hour: 'g1.hour',
  second_guardian: 'g2.name',
  second_number: 'g2.number',
  second_relation: 'g2.relation',
  second_language: 'g2.language',
  consent_on: 'consent-on',
  consent_by: 'consent-by',
};
export const NEEDED = ['child', 'born', 'feet', 'guardian', 'number', 'language', 'consent_on', 'consent_by'];
export const MOST_ROWS = 5_000;

export interface ImportRow {
  readonly line: number;
  readonly fields: EnrolFields;
  readonly consent: { readonly on: string; readonly by: string };
}

export interface RowFault {
  /** Line of the list; 0: the list as a whole. */
  readonly line: number;
  readonly fault: Fault;
}

export interface ReadList {
  readonly rows: readonly ImportRow[];
  readonly faults: readonly RowFault[];
}

/** Reads a pasted list of families; every fault of every row. `today` is the clinic's local date. Pure. */
export function readList(text: string, clinic: ClinicRow, today: string): ReadList {
  const [head, ...lines] = readCsv(text);
  const faults: RowFault[] = [];
  const whole = (key: string, values: Record<string, string>) =>
    void faults.push({ line: 0, fault: { key: `import.fault-${key}`, values } });
  const names = (head?.fields ?? []).map((name) => name.trim().toLowerCase().replaceAll(' ', '_'));
  const unknown = names.filter((name) => !Object.hasOwn(COLUMNS, name));
  const missing = NEEDED.filter((name) => !names.includes(name));
  if (unknown.length > 0)
    whole('unknown', { names: unknown.join(', '), known: Object.keys(COLUMNS).join(', ') });
  if (missing.length > 0) whole('missing', { names: missing.join(', ') });
  if (lines.length === 0) whole('empty', {});
  if (lines.length > MOST_ROWS) whole('too-many', { most: String(MOST_ROWS) });
  if (faults.length > 0) return { rows: [], faults };
  const rows: ImportRow[] = [];
  const seen = new Map<string, number>();
  for (const { line, fields } of lines) {
    if (fields.length > names.length) faults.push({ line, fault: { key: 'import.fault-too-wide' } });
    const row = readRow(names, fields, clinic, today);
    for (const fault of row.faults) faults.push({ line, fault });
    if (row.fields === null) continue;
    const key = sameChild(row.fields.child.givenName, row.fields.child.born);
    const before = seen.get(key);
    if (before !== undefined) {
      faults.push({ line, fault: { key: 'import.fault-twice', values: { line: String(before) } } });
    }
    seen.set(key, line);
    rows.push({ line, fields: row.fields, consent: row.consent });
  }
  return { rows, faults };
}

/** What makes two lines one child: given name and day of birth. */
export function sameChild(givenName: string, born: string): string {
  return `${givenName.toLowerCase()}|${born}`;
}

function readRow(
  names: readonly string[],
  fields: readonly string[],
  clinic: ClinicRow,
  today: string,
): { fields: EnrolFields | null; consent: ImportRow['consent']; faults: Fault[] } {
  const form = new URLSearchParams();
  names.forEach((name, i) => {
    const value = (fields[i] ?? '').trim();
    if (name !== 'feet') form.set(COLUMNS[name] ?? name, value);
    else for (const foot of feetOf(value)) form.append('feet', foot);
  });
  const faults: Fault[] = [];
  closedList(form, 'g1.language', FAMILY_LANGUAGES, 'language', faults);
  closedList(form, 'g1.relation', RELATIONS, 'relation', faults);
  if ((form.get('g2.language') ?? '') === '') form.set('g2.language', form.get('g1.language') ?? '');
  const consent = { on: form.get('consent-on') ?? '', by: (form.get('consent-by') ?? '').slice(0, 80) };
  if (!isDate(consent.on) || consent.on > today || consent.by === '') {
    faults.push({ key: 'import.fault-consent' });
  }
  form.set('consent', 'yes');
  const read = readEnrol(readForm(form.toString()), clinic, today);
  if (!read.isValid) faults.push(...read.faults);
  return { fields: read.isValid && faults.length === 0 ? read.fields : null, consent, faults };
}

function closedList(
  form: URLSearchParams,
  field: string,
  allowed: readonly string[],
  column: string,
  faults: Fault[],
): void {
  const value = (form.get(field) ?? '').toLowerCase();
  form.set(field, value);
  if (value === '' || allowed.includes(value)) return;
  faults.push({
    key: 'import.fault-one-of',
    values: { column, found: value.slice(0, 40), allowed: allowed.join(', ') },
  });
}

function feetOf(value: string): string[] {
  const lower = value.toLowerCase();
  if (lower === 'both') return ['left', 'right'];
  return lower === 'left' || lower === 'right' ? [lower] : [];
}
