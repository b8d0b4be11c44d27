import type { CourseEvent } from '../../../core/model/course-events.js';
import type { Form } from '../../form.js';
import type { Fault } from '../../parts/fault.js';
import { type Foot, SCORE_SIGNS } from '../../parts/foot-record.js';

/** What may have been done at a visit, in the order of the course. */
export const DEEDS = ['cast', 'tenotomy', 'brace', 'brace-check', 'review', 'slipped', 'missed'] as const;
export type Deed = (typeof DEEDS)[number];

export interface VisitFields {
  readonly deed: Deed;
  readonly date: string;
  readonly events: readonly CourseEvent[];
}

export type ReadVisit =
  | { readonly isValid: true; readonly visit: VisitFields }
  | { readonly isValid: false; readonly faults: readonly Fault[] };

type Findings = Record<string, unknown>;

/**
 * Reads a visit as the form sent it into the events the course knows; every fault at once. `castNumber` is the number
 * the next cast gets. A tenotomy brings its own cast on the same day; a fitted brace means the cast came off.
 */
export function readVisit(form: Form, feet: readonly Foot[], castNumber: number): ReadVisit {
  const faults: Fault[] = [];
  const deed = DEEDS.find((one) => one === form.get('deed'));
  if (deed === undefined) faults.push({ key: 'visit-form.fault-deed' });
  const date = form.get('date');
  if (!isDate(date)) faults.push({ key: 'visit-form.fault-date' });
  const findings = readFindings(form, feet, faults);
  if (faults.length > 0 || deed === undefined) return { isValid: false, faults };
  const note = form.get('note') === '' ? {} : { note: form.get('note').slice(0, 500) };
  const found = findings === undefined ? {} : { feet: findings };
  return { isValid: true, visit: { deed, date, events: eventsOf(deed, date, castNumber, found, note) } };
}

function eventsOf(
  deed: Deed,
  date: string,
  number: number,
  found: { feet?: CourseFindings },
  note: { note?: string },
): CourseEvent[] {
  switch (deed) {
    case 'cast':
      return [{ type: 'cast', date, number, ...found, ...note }];
    case 'tenotomy':
      return [
        { type: 'tenotomy', date, ...note },
        { type: 'cast', date, number, ...found },
      ];
    case 'brace':
      return [
        ...(found.feet === undefined
          ? []
          : [{ type: 'visit' as const, date, kind: 'cast-removal' as const, ...found }]),
        { type: 'cast-removed', date },
        { type: 'brace', date, ...note },
      ];
    case 'brace-check':
    case 'review':
      return [{ type: 'visit', date, kind: deed, ...found, ...note }];
    case 'slipped':
      return [{ type: 'slipped', date, ...note }];
    case 'missed':
      return [{ type: 'missed', date, ...note }];
  }
}

type CourseFindings = NonNullable<Extract<CourseEvent, { type: 'visit' }>['feet']>;

/** What was found on each foot; undefined when nothing was filled in. */
export function readFindings(form: Form, feet: readonly Foot[], faults: Fault[]): CourseFindings | undefined {
  const found: Partial<Record<Foot, Findings>> = {};
  for (const foot of feet) {
    const one = readFoot(form, foot, faults);
    if (Object.keys(one).length > 0) found[foot] = one;
  }
  return Object.keys(found).length === 0 ? undefined : (found as CourseFindings);
}

function readFoot(form: Form, foot: Foot, faults: Fault[]): Findings {
  const found: Findings = {};
  const scored = SCORE_SIGNS.filter((sign) => form.get(`${foot}.${sign}`) !== '');
  if (scored.length > 0 && scored.length < SCORE_SIGNS.length) {
    faults.push({ key: `visit-form.fault-score-${foot}` });
  } else if (scored.length > 0) {
    found.pirani = Object.fromEntries(scored.map((sign) => [sign, Number(form.get(`${foot}.${sign}`))]));
  }
  const abduction = readAngle(form.get(`${foot}.abduction`));
  if (abduction === 'wrong') faults.push({ key: `visit-form.fault-abduction-${foot}` });
  else if (abduction !== null) {
    found.abduction = abduction;
    found.abductionAngle = form.get('angle') === 'leg-foot' ? 'leg-foot' : 'thigh-foot';
  }
  const dorsiflexion = readAngle(form.get(`${foot}.dorsiflexion`));
  if (dorsiflexion === 'wrong') faults.push({ key: `visit-form.fault-dorsiflexion-${foot}` });
  else if (dorsiflexion !== null) found.dorsiflexion = dorsiflexion;
  return found;
}

/** Whole or half degrees from -90 to 90, in the digits of any script we show. */
function readAngle(text: string): number | null | 'wrong' {
  if (text === '') return null;
  const value = Number(text.replace(',', '.').replace(/°$/, ''));
  return Number.isFinite(value) && value >= -90 && value <= 90 ? value : 'wrong';
}

/** An ISO date that exists. */
export function isDate(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const at = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(text);
}
