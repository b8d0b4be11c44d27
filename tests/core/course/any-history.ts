import fc from 'fast-check';
import type { CourseEvent, FootFindings } from '../../../src/core/model/course-events.js';
import { addMonths, dayOf, isoOf, WEEKDAYS } from '../../../src/core/time/calendar-days.js';
import { PROTOCOLS } from './example-children.js';

/** Random but possible lives: what a careful clinic could really have recorded. */

export interface AnyRecord {
  readonly child: { id: string; born: string; feet: ('left' | 'right')[]; weeksEarly?: number };
  readonly clinic: { timeZone: string; clinicDays: string[]; holidays: string[] };
  readonly protocol: string;
  readonly events: CourseEvent[];
  readonly asOf: string;
}

const ZONES = [
  'UTC',
  'Africa/Kampala',
  'Asia/Kolkata',
  'Asia/Kathmandu',
  'America/Sao_Paulo',
  'America/New_York',
  'Europe/London',
  'Australia/Lord_Howe',
  'Pacific/Apia',
  'Africa/Casablanca',
];

interface Plan {
  readonly born: number;
  readonly firstCastAge: number;
  readonly gaps: readonly number[];
  readonly hasTenotomy: boolean;
  readonly stay: number;
  readonly braceDelay: number;
  readonly isBraced: boolean;
  readonly visits: readonly { after: number; isMissed: boolean; isNamed: boolean }[];
  readonly relapseAfter: number | null;
  readonly isDischarged: boolean;
  readonly asOfAfter: number;
  readonly cut: number;
  /** What is found at every visit, or nothing. */
  readonly found: FootFindings | null;
  readonly hasSlip: boolean;
  /** Casts only the right foot needs after the left had its tenotomy. */
  readonly stagger: number;
}

const plan: fc.Arbitrary<Plan> = fc.record({
  born: fc.integer({ min: dayOf('2012-01-01'), max: dayOf('2030-12-31') }),
  firstCastAge: fc.oneof(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 2200 })),
  gaps: fc.array(fc.oneof(fc.constant(7), fc.integer({ min: 1, max: 30 })), { minLength: 1, maxLength: 12 }),
  hasTenotomy: fc.boolean(),
  stay: fc.integer({ min: 10, max: 35 }),
  braceDelay: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 20 })),
  isBraced: fc.boolean(),
  visits: fc.array(
    fc.record({ after: fc.integer({ min: 1, max: 200 }), isMissed: fc.boolean(), isNamed: fc.boolean() }),
    { maxLength: 14 },
  ),
  relapseAfter: fc.option(fc.integer({ min: 30, max: 1200 })),
  isDischarged: fc.boolean(),
  asOfAfter: fc.oneof(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 0, max: 3000 })),
  cut: fc.integer({ min: 0, max: 60 }),
  found: fc.option(
    fc.record(
      {
        abduction: fc.integer({ min: -30, max: 80 }),
        abductionAngle: fc.constantFrom('thigh-foot', 'leg-foot'),
        dorsiflexion: fc.integer({ min: -20, max: 30 }),
        pirani: fc.integer({ min: 0, max: 12 }).map((half) => half / 2),
        dimeglio: fc.integer({ min: 0, max: 20 }),
        scorer: fc.constantFrom('A', 'B'),
        isCavusCorrected: fc.boolean(),
        hasComplexFeatures: fc.boolean(),
      },
      { requiredKeys: [] },
    ),
  ),
  hasSlip: fc.boolean(),
  stagger: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 5 })),
});

/** Events of one plan in order of time; cutting the list anywhere leaves a possible history (see `whole`). */
function eventsOf(p: Plan, isBilateral: boolean): CourseEvent[] {
  const events: CourseEvent[] = [];
  let day = p.born + p.firstCastAge;
  let number = 1;
  const series = (gaps: readonly number[], hasTenotomy: boolean) => {
    events.push({ type: 'cast', date: isoOf(day), number: number++ });
    for (const gap of gaps) {
      day += gap;
      events.push({ type: 'cast', date: isoOf(day), number: number++ });
    }
    if (hasTenotomy && isBilateral && p.stagger > 0) {
      day += 7;
      events.push({ type: 'cast', date: isoOf(day), number: number++ });
      events.push({ type: 'tenotomy', date: isoOf(day), feet: ['left'] });
      for (let extra = 1; extra <= p.stagger; extra++) {
        day += 7;
        if (extra === 3) events.push({ type: 'cast-removed', date: isoOf(day), feet: ['left'] });
        events.push({ type: 'cast', date: isoOf(day), number: number++, feet: { right: {} } });
      }
    } else if (hasTenotomy) {
      day += 7;
      events.push(
        { type: 'cast', date: isoOf(day), number: number++ },
        { type: 'tenotomy', date: isoOf(day) },
      );
    }
    day += p.stay;
    events.push({ type: 'cast-removed', date: isoOf(day) });
    day += p.braceDelay;
    events.push({ type: 'brace', date: isoOf(day) });
  };
  series(p.gaps, p.hasTenotomy);
  const fitted = day;
  let hasRelapsed = false;
  for (const visit of p.visits) {
    day += visit.after;
    if (p.relapseAfter !== null && !hasRelapsed && day > fitted + p.relapseAfter) {
      hasRelapsed = true;
      series([7], false);
      day += 1;
    }
    const kind = visit.isNamed ? ({ kind: 'brace-check' } as const) : {};
    events.push({ type: visit.isMissed ? 'missed' : 'visit', date: isoOf(day), ...kind });
  }
  if (p.isDischarged && p.isBraced) events.push({ type: 'discharged', date: isoOf(day + 30) });
  return events;
}

/** Cuts the history after `cut` events, but never between a last cast and its tenotomy. */
function whole(events: readonly CourseEvent[], cut: number): CourseEvent[] {
  const kept = events.slice(0, cut);
  const next = events[kept.length];
  return next?.type === 'tenotomy' ? [...kept, next] : kept;
}

/** The same events with what was found on the treated feet, and a slip of the first cast. */
function withFindings(events: CourseEvent[], p: Plan, feet: readonly ('left' | 'right')[]): CourseEvent[] {
  const { found } = p;
  const seen = Object.fromEntries(feet.map((foot) => [foot, found ?? {}]));
  const noted = events.map((event) =>
    found !== null && (event.type === 'cast' || event.type === 'visit') && event.feet === undefined
      ? { ...event, feet: seen }
      : event,
  );
  const first = noted[0];
  return p.hasSlip && first?.type === 'cast' ? [...noted, { type: 'slipped', date: first.date }] : noted;
}

export const anyRecord: fc.Arbitrary<AnyRecord> = fc
  .record({
    plan,
    zone: fc.constantFrom(...ZONES),
    clinicDays: fc.uniqueArray(fc.constantFrom(...WEEKDAYS), { minLength: 1, maxLength: 5 }),
    holidays: fc.array(fc.integer({ min: 0, max: 1500 }), { maxLength: 40 }),
    feet: fc.constantFrom<('left' | 'right')[]>(['left'], ['right'], ['left', 'right']),
    weeksEarly: fc.option(fc.integer({ min: 0, max: 12 }), { nil: undefined }),
    protocol: fc.constantFrom('standard', 'standard', ...PROTOCOLS),
  })
  .map(({ plan: p, zone, clinicDays, holidays, feet, weeksEarly, protocol }) => {
    const events = withFindings(whole(eventsOf(p, feet.length === 2), p.cut), p, feet);
    const last = Math.max(p.born, ...events.map((event) => dayOf(event.date)));
    const asOf = Math.min(last + p.asOfAfter, addMonths(p.born, 29 * 12));
    return {
      child: { id: 'any', born: isoOf(p.born), feet, ...(weeksEarly === undefined ? {} : { weeksEarly }) },
      clinic: { timeZone: zone, clinicDays, holidays: holidays.map((n) => isoOf(p.born + n)) },
      protocol,
      events,
      asOf: isoOf(Math.max(asOf, last)),
    };
  });
