import { describe, expect, it } from 'vitest';
import type { CourseEvent } from '../../../src/core/model/course-events.js';
import { bracedOn, casts, faultsOf, record, TO_BRACE } from './example-children.js';

type Broken = readonly [title: string, input: unknown, ...expected: string[]];

const sound = () => record({ events: TO_BRACE, asOf: '2026-06-01' });
/** The sound record with one thing spoilt. */
function spoilt(edit: (given: Loose) => void): unknown {
  const given = structuredClone(sound()) as unknown as Loose;
  edit(given);
  return given;
}
interface Loose {
  child: Record<string, unknown>;
  clinic: Record<string, unknown>;
  events: Record<string, unknown>[];
  [key: string]: unknown;
}
const withEvents = (...events: unknown[]) => record({ events: events as CourseEvent[], asOf: '2026-06-01' });
const after = (...events: unknown[]) => withEvents(...TO_BRACE, ...events);
const cast = (date: string, number: number, more: object = {}) => ({ type: 'cast', date, number, ...more });
const findings = (found: object) => withEvents(cast('2026-01-05', 1, { feet: { left: found } }));

/** Each with the path (and words) at least one of its faults must carry. */
const BROKEN: readonly Broken[] = [
  // The whole
  ['nothing', undefined, ': nothing'],
  ['null', null, ': null'],
  ['a list', [], ': []'],
  ['a text', 'course', 'an object with child'],
  ['a number', 7, 'an object with child'],
  ['an unknown key', spoilt((g) => Object.assign(g, { clinci: 1 })), 'clinci: an unknown key'],
  ['no child', spoilt((g) => Reflect.deleteProperty(g, 'child')), 'child: nothing'],
  ['no clinic', spoilt((g) => Reflect.deleteProperty(g, 'clinic')), 'clinic: nothing'],
  ['no protocol', spoilt((g) => Reflect.deleteProperty(g, 'protocol')), 'protocol: nothing'],
  ['an unknown protocol', spoilt((g) => Object.assign(g, { protocol: 'fast' })), 'protocol: "fast" | one of'],
  ['no events', spoilt((g) => Reflect.deleteProperty(g, 'events')), 'events: nothing'],
  ['events that are no list', spoilt((g) => Object.assign(g, { events: {} })), 'events: {} | a list'],
  ['no asOf', spoilt((g) => Reflect.deleteProperty(g, 'asOf')), 'asOf: nothing'],
  ['asOf in words', spoilt((g) => Object.assign(g, { asOf: 'today' })), 'asOf: "today"'],
  [
    'asOf on a day that does not exist',
    spoilt((g) => Object.assign(g, { asOf: '2026-02-30' })),
    'asOf: "2026-02-30"',
  ],
  ['asOf as a number', spoilt((g) => Object.assign(g, { asOf: 20260601 })), 'asOf: 20260601'],
  [
    'asOf with an hour but no offset',
    spoilt((g) => Object.assign(g, { asOf: '2026-06-01T10:00:00' })),
    'asOf: ',
  ],
  // The child
  ['a child that is a text', spoilt((g) => Object.assign(g, { child: 'Asha' })), 'child: "Asha"'],
  ['a child without an id', spoilt((g) => Reflect.deleteProperty(g.child, 'id')), 'child.id: nothing'],
  ['an empty id', spoilt((g) => Object.assign(g.child, { id: '' })), 'child.id: ""'],
  ['an id that is a number', spoilt((g) => Object.assign(g.child, { id: 12 })), 'child.id: 12'],
  ['no date of birth', spoilt((g) => Reflect.deleteProperty(g.child, 'born')), 'child.born: nothing'],
  [
    'a birth date in another order',
    spoilt((g) => Object.assign(g.child, { born: '20-12-2025' })),
    'child.born: "20-12-2025"',
  ],
  [
    'a birth on 29 February of a common year',
    spoilt((g) => Object.assign(g.child, { born: '2025-02-29' })),
    'child.born: "2025-02-29"',
  ],
  [
    'a birth with an hour',
    spoilt((g) => Object.assign(g.child, { born: '2025-12-20T00:00:00Z' })),
    'child.born: ',
  ],
  [
    'a birth after asOf',
    spoilt((g) => Object.assign(g.child, { born: '2026-06-02' })),
    'child.born: 2026-06-02 | a day not after asOf',
  ],
  [
    'a birth a hundred years ago',
    spoilt((g) => Object.assign(g.child, { born: '1925-12-20' })),
    'child.born: 1925-12-20',
  ],
  ['no feet', spoilt((g) => Reflect.deleteProperty(g.child, 'feet')), 'child.feet: nothing'],
  [
    'an empty list of feet',
    spoilt((g) => Object.assign(g.child, { feet: [] })),
    'child.feet: [] | at least one',
  ],
  ['feet as a text', spoilt((g) => Object.assign(g.child, { feet: 'both' })), 'child.feet: "both"'],
  ['an unknown foot', spoilt((g) => Object.assign(g.child, { feet: ['both'] })), 'child.feet[0]: "both"'],
  [
    'a foot twice',
    spoilt((g) => Object.assign(g.child, { feet: ['left', 'left'] })),
    'child.feet: ',
    'each foot once',
  ],
  [
    'weeks early below nought',
    spoilt((g) => Object.assign(g.child, { weeksEarly: -1 })),
    'child.weeksEarly: -1',
  ],
  ['weeks early too many', spoilt((g) => Object.assign(g.child, { weeksEarly: 30 })), 'child.weeksEarly: 30'],
  ['half weeks early', spoilt((g) => Object.assign(g.child, { weeksEarly: 2.5 })), 'child.weeksEarly: 2.5'],
  [
    'an unknown key of the child',
    spoilt((g) => Object.assign(g.child, { name: 'Asha' })),
    'child.name: an unknown key',
  ],
  // The clinic
  ['no time zone', spoilt((g) => Reflect.deleteProperty(g.clinic, 'timeZone')), 'clinic.timeZone: nothing'],
  [
    'an unknown time zone',
    spoilt((g) => Object.assign(g.clinic, { timeZone: 'Africa/Atlantis' })),
    'clinic.timeZone: "Africa/Atlantis"',
  ],
  [
    'a fixed offset for a zone',
    spoilt((g) => Object.assign(g.clinic, { timeZone: '+03:00' })),
    'clinic.timeZone: "+03:00"',
  ],
  [
    'no clinic days',
    spoilt((g) => Reflect.deleteProperty(g.clinic, 'clinicDays')),
    'clinic.clinicDays: nothing',
  ],
  [
    'an empty list of clinic days',
    spoilt((g) => Object.assign(g.clinic, { clinicDays: [] })),
    'clinic.clinicDays: []',
  ],
  [
    'a clinic day in short',
    spoilt((g) => Object.assign(g.clinic, { clinicDays: ['tue'] })),
    'clinic.clinicDays[0]: "tue"',
  ],
  [
    'a clinic day with a capital',
    spoilt((g) => Object.assign(g.clinic, { clinicDays: ['Tuesday'] })),
    'clinic.clinicDays[0]: "Tuesday"',
  ],
  [
    'a clinic day twice',
    spoilt((g) => Object.assign(g.clinic, { clinicDays: ['monday', 'monday'] })),
    'each weekday once',
  ],
  ['no holidays', spoilt((g) => Reflect.deleteProperty(g.clinic, 'holidays')), 'clinic.holidays: nothing'],
  [
    'a holiday by name',
    spoilt((g) => Object.assign(g.clinic, { holidays: ['Good Friday'] })),
    'clinic.holidays[0]: "Good Friday"',
  ],
  [
    'a holiday that does not exist',
    spoilt((g) => Object.assign(g.clinic, { holidays: ['2026-04-31'] })),
    'clinic.holidays[0]: "2026-04-31"',
  ],
  [
    'sending hours turned round',
    spoilt((g) => Object.assign(g.clinic, { sendingFrom: '20:00', sendingTo: '08:00' })),
    'clinic.sendingTo',
  ],
  [
    'a sending hour past midnight',
    spoilt((g) => Object.assign(g.clinic, { sendingTo: '25:00' })),
    'clinic.sendingTo: "25:00"',
  ],
  [
    'an unknown key of the clinic',
    spoilt((g) => Object.assign(g.clinic, { name: 'Hill' })),
    'clinic.name: an unknown key',
  ],
  // Shapes of events
  ['an event that is a text', withEvents('cast'), 'events[0]: "cast"'],
  ['an event that is null', withEvents(null), 'events[0]: null'],
  ['an event without a type', withEvents({ date: '2026-01-05' }), 'events[0].type: nothing'],
  [
    'an event of an unknown type',
    withEvents({ type: 'plaster', date: '2026-01-05' }),
    'events[0].type: "plaster"',
  ],
  ['an event without a date', withEvents({ type: 'cast', number: 1 }), 'events[0].date: nothing'],
  ['an event on 31 April', withEvents(cast('2026-04-31', 1)), 'events[0].date: "2026-04-31"'],
  ['a date with slashes', withEvents(cast('2026/01/05', 1)), 'events[0].date: "2026/01/05"'],
  ['a date without noughts', withEvents(cast('2026-1-5', 1)), 'events[0].date: "2026-1-5"'],
  ['month 13', withEvents(cast('2026-13-01', 1)), 'events[0].date: "2026-13-01"'],
  ['a cast without a number', withEvents({ type: 'cast', date: '2026-01-05' }), 'events[0].number: nothing'],
  ['cast number nought', withEvents(cast('2026-01-05', 0)), 'events[0].number: 0'],
  ['cast number below nought', withEvents(cast('2026-01-05', -1)), 'events[0].number: -1'],
  ['cast number one and a half', withEvents(cast('2026-01-05', 1.5)), 'events[0].number: 1.5'],
  [
    'cast number as a text',
    withEvents({ type: 'cast', date: '2026-01-05', number: '1' }),
    'events[0].number: "1"',
  ],
  [
    'an unknown key of an event',
    withEvents(cast('2026-01-05', 1, { foot: 'left' })),
    'events[0].foot: an unknown key',
  ],
  [
    'a Pirani score of 0.75',
    findings({ pirani: 0.75 }),
    'events[0].feet.left.pirani: 0.75 | a total from 0 to 6',
  ],
  ['a Pirani score above 6', findings({ pirani: 6.5 }), 'events[0].feet.left.pirani: 6.5'],
  ['a Pirani score below nought', findings({ pirani: -0.5 }), 'events[0].feet.left.pirani: -0.5'],
  ['a Pirani score as a text', findings({ pirani: '4' }), 'events[0].feet.left.pirani: "4"'],
  [
    'five Pirani signs',
    findings({
      pirani: { posteriorCrease: 1, emptyHeel: 1, rigidEquinus: 1, medialCrease: 1, lateralHeadOfTalus: 1 },
    }),
    'events[0].feet.left.pirani',
  ],
  [
    'a Pirani sign of 0.75',
    findings({
      pirani: {
        posteriorCrease: 0.75,
        emptyHeel: 1,
        rigidEquinus: 1,
        curvedLateralBorder: 1,
        medialCrease: 1,
        lateralHeadOfTalus: 1,
      },
    }),
    'events[0].feet.left.pirani',
  ],
  ['a Dimeglio score of 21', findings({ dimeglio: 21 }), 'events[0].feet.left.dimeglio: 21'],
  ['half a Dimeglio point', findings({ dimeglio: 7.5 }), 'events[0].feet.left.dimeglio: 7.5'],
  ['an abduction of 170 degrees', findings({ abduction: 170 }), 'events[0].feet.left.abduction: 170'],
  ['an abduction as a text', findings({ abduction: '60' }), 'events[0].feet.left.abduction: "60"'],
  [
    'an unknown way of measuring',
    findings({ abduction: 60, abductionAngle: 'thigh' }),
    'events[0].feet.left.abductionAngle: "thigh"',
  ],
  ['an unknown finding', findings({ swelling: 2 }), 'events[0].feet.left.swelling: an unknown key'],
  [
    'findings on an unknown foot',
    withEvents(cast('2026-01-05', 1, { feet: { both: {} } })),
    'events[0].feet.both: an unknown key',
  ],
  ['an unknown kind of visit', after({ type: 'visit', date: '2026-04-01', kind: 'check' }), 'kind: "check"'],
  [
    'an unknown kind of missed visit',
    after({ type: 'missed', date: '2026-04-01', kind: 'check' }),
    'kind: "check"',
  ],
  [
    'a tenotomy of no foot',
    withEvents(...casts(['2026-01-05', '2026-01-12']), { type: 'tenotomy', date: '2026-01-12', feet: [] }),
    'feet: []',
  ],
  // Dates that cannot be
  [
    'a cast before birth',
    withEvents(cast('2025-12-19', 1)),
    'events[0].date: 2025-12-19 | a day not before the child was born (2025-12-20)',
  ],
  [
    'a cast in the future',
    withEvents(cast('2026-06-02', 1)),
    'events[0].date: 2026-06-02 | a day not in the future',
  ],
  [
    'a brace in the future',
    record({ events: bracedOn('2026-03-09'), asOf: '2026-03-08' }),
    'events[4].date',
    'events[5].date',
  ],
  [
    'a visit before birth',
    withEvents({ type: 'visit', date: '2024-12-20' }),
    'a day not before the child was born',
  ],
  ['a discharge in the future', after({ type: 'discharged', date: '2027-01-01' }), 'a day not in the future'],
  // Order of care
  [
    'two casts on one day for one foot',
    withEvents(cast('2026-01-05', 1), cast('2026-01-05', 2)),
    'a second cast on the left foot on 2026-01-05',
  ],
  [
    'two casts on one day for the same single foot',
    withEvents(cast('2026-01-05', 1, { feet: { left: {} } }), cast('2026-01-05', 2, { feet: { left: {} } })),
    'events[1]: a second cast on the left foot',
  ],
  [
    'the same cast entered twice',
    withEvents(cast('2026-01-05', 1), cast('2026-01-05', 1)),
    'events[1]: a second cast',
  ],
  [
    'a series that begins with cast 2',
    withEvents(cast('2026-01-05', 2)),
    'events[0].number: 2 | 1 for the first cast',
  ],
  [
    'a cast number left out',
    withEvents(cast('2026-01-05', 1), cast('2026-01-12', 3)),
    'events[1].number: 3 | 2: cast 2 is not recorded',
  ],
  [
    'a cast number used again',
    withEvents(cast('2026-01-05', 1), cast('2026-01-12', 1)),
    'events[1].number: 1 | 2: the left foot had cast 1 on 2026-01-05',
  ],
  [
    'cast numbers running backwards',
    withEvents(cast('2026-01-05', 2), cast('2026-01-12', 1)),
    'events[0].number',
    'events[1].number',
  ],
  [
    'a cast on a foot not in treatment',
    record({
      feet: ['left'],
      events: [cast('2026-01-05', 1, { feet: { right: {} } }) as CourseEvent],
      asOf: '2026-02-01',
    }),
    'events[0].feet.right: right | a treated foot',
  ],
  [
    'a tenotomy without any cast',
    withEvents({ type: 'tenotomy', date: '2026-01-05' }),
    'events[0]: a tenotomy on 2026-01-05 without a cast',
  ],
  [
    'a tenotomy without its last cast',
    withEvents(...casts(['2026-01-05', '2026-01-12']), { type: 'tenotomy', date: '2026-01-19' }),
    'events[2]: a tenotomy on 2026-01-19 without a cast',
  ],
  [
    'a tenotomy with the very first cast',
    withEvents(cast('2026-01-05', 1), { type: 'tenotomy', date: '2026-01-05' }),
    'corrective casts before it',
  ],
  [
    'two tenotomies of one foot',
    withEvents(
      ...casts(['2026-01-05', '2026-01-12', '2026-01-19']),
      { type: 'tenotomy', date: '2026-01-12' },
      { type: 'tenotomy', date: '2026-01-19' },
    ),
    'a second tenotomy of the left foot',
    'a second tenotomy of the right foot',
  ],
  [
    'one tenotomy entered twice',
    withEvents(
      ...casts(['2026-01-05', '2026-01-12']),
      { type: 'tenotomy', date: '2026-01-12' },
      { type: 'tenotomy', date: '2026-01-12' },
    ),
    'a second tenotomy',
  ],
  [
    'a tenotomy of a foot without a cast that day',
    withEvents(cast('2026-01-05', 1), cast('2026-01-12', 2, { feet: { left: {} } }), {
      type: 'tenotomy',
      date: '2026-01-12',
      feet: ['right'],
    }),
    'a "cast" event of the right foot on the same day',
  ],
  [
    'a tenotomy of a foot not in treatment',
    record({
      feet: ['left'],
      events: [
        ...casts(['2026-01-05', '2026-01-12']),
        { type: 'tenotomy', date: '2026-01-12', feet: ['right'] },
      ],
      asOf: '2026-02-01',
    }),
    'events[2].feet[0]: right',
  ],
  [
    'a cast taken off that was never put on',
    withEvents({ type: 'cast-removed', date: '2026-01-05' }),
    'events[0]: a cast taken off on 2026-01-05',
  ],
  [
    'a cast taken off twice',
    withEvents(
      cast('2026-01-05', 1),
      { type: 'cast-removed', date: '2026-01-12' },
      { type: 'cast-removed', date: '2026-01-13' },
    ),
    'events[2]: a cast taken off',
    'came off on 2026-01-12',
  ],
  [
    'a cast taken off the day it went on',
    withEvents(cast('2026-01-05', 1), { type: 'cast-removed', date: '2026-01-05' }),
    'events[1]: a cast taken off on 2026-01-05',
  ],
  [
    'a cast taken off the wrong foot',
    withEvents(cast('2026-01-05', 1, { feet: { left: {} } }), {
      type: 'cast-removed',
      date: '2026-01-12',
      feet: ['right'],
    }),
    'a cast on the right foot that day',
  ],
  [
    'a brace before the last cast came off',
    withEvents(
      ...TO_BRACE.slice(0, 8),
      { type: 'brace', date: '2026-03-02' },
      { type: 'cast-removed', date: '2026-03-09' },
    ),
    'events[8]: a brace on 2026-03-02 | the cast put on the left foot on 2026-02-16 to come off first',
  ],
  [
    'a brace with the cast never taken off',
    withEvents(...TO_BRACE.slice(0, 8), { type: 'brace', date: '2026-03-09' }),
    'events[8]: a brace on 2026-03-09',
  ],
  [
    'a brace over a cast of the same day',
    withEvents(cast('2026-01-05', 1), cast('2026-01-12', 2), { type: 'brace', date: '2026-01-12' }),
    'events[2]: a brace',
  ],
  [
    'a brace without any cast',
    withEvents({ type: 'brace', date: '2026-03-09' }),
    'events[0]: a brace on 2026-03-09 | casts before it',
  ],
  [
    'two braces on one day',
    after({ type: 'brace', date: '2026-03-09' }),
    'events[10]: a second brace on 2026-03-09',
  ],
  [
    'a brace on a foot not in treatment',
    record({
      feet: ['left'],
      events: [...bracedOn('2026-03-09'), { type: 'brace', date: '2026-03-20', feet: ['right'] }],
      asOf: '2026-04-01',
    }),
    'events[6].feet[0]: right',
  ],
  [
    'a brace on one foot while the other wears a cast, not saying which',
    withEvents(
      cast('2026-01-05', 1),
      { type: 'cast-removed', date: '2026-01-12', feet: ['left'] },
      { type: 'brace', date: '2026-01-12' },
    ),
    'the cast put on the right foot',
  ],
  [
    'a slipped cast when none was on',
    withEvents({ type: 'slipped', date: '2026-01-05' }),
    'events[0]: a cast that slipped',
  ],
  ['a relapse before any cast', withEvents({ type: 'relapse', date: '2026-01-05' }), 'events[0]: a relapse'],
  [
    'missed and seen on one day',
    after({ type: 'visit', date: '2026-03-23' }, { type: 'missed', date: '2026-03-23' }),
    'a missed visit on 2026-03-23',
  ],
  [
    'missed on the day of a cast',
    withEvents(cast('2026-01-05', 1), { type: 'missed', date: '2026-01-05' }),
    'events[1]: a missed visit on 2026-01-05',
  ],
  [
    'one visit entered twice',
    after({ type: 'visit', date: '2026-03-23' }, { type: 'visit', date: '2026-03-23' }),
    'events[11]: a second visit event',
  ],
  [
    'one missed visit entered twice',
    after({ type: 'missed', date: '2026-03-23' }, { type: 'missed', date: '2026-03-23' }),
    'events[11]: a second missed event',
  ],
  [
    'a first visit after casts',
    after({ type: 'visit', date: '2026-03-23', kind: 'first-visit' }),
    'kind: first-visit',
  ],
  [
    'two first visits',
    withEvents(
      { type: 'visit', date: '2026-01-02', kind: 'first-visit' },
      { type: 'visit', date: '2026-01-03', kind: 'first-visit' },
    ),
    'events[1].kind: first-visit | one first visit',
  ],
  [
    'a brace check before any brace',
    withEvents(cast('2026-01-05', 1), { type: 'visit', date: '2026-01-12', kind: 'brace-check' }),
    'events[1].kind: brace-check',
  ],
  [
    'a cast removal visit with no cast on',
    after({ type: 'visit', date: '2026-03-23', kind: 'cast-removal' }),
    'kind: cast-removal',
  ],
  [
    'care after discharge',
    after({ type: 'discharged', date: '2026-04-01' }, { type: 'visit', date: '2026-04-02' }),
    'events[11]: visit on 2026-04-02 | nothing after the child left on 2026-04-01',
  ],
  [
    'a cast after discharge',
    after({ type: 'discharged', date: '2026-04-01' }, cast('2026-04-02', 8)),
    'events[11]: cast on 2026-04-02',
  ],
  [
    'discharged twice',
    after({ type: 'discharged', date: '2026-04-01' }, { type: 'discharged', date: '2026-04-02' }),
    'events[11]: discharged on 2026-04-02',
  ],
  [
    'discharged in a cast',
    withEvents(cast('2026-01-05', 1), { type: 'discharged', date: '2026-01-12' }),
    'events[1]: discharged with a cast on the left foot since 2026-01-05',
  ],
  [
    'taken on again without having left',
    after({ type: 'readmitted', date: '2026-04-02' }),
    'events[10]: readmitted',
  ],
];

describe('a broken history is refused', () => {
  it('in at least a hundred kinds', () => {
    expect(BROKEN.length).toBeGreaterThanOrEqual(100);
    expect(new Set(BROKEN.map(([title]) => title)).size).toBe(BROKEN.length);
  });

  it.each(BROKEN)('%s', (_title, given, ...expected) => {
    const faults = faultsOf(given);
    expect(faults).not.toEqual([]);
    for (const words of expected) expect(faults.join('\n')).toContain(words);
    for (const fault of faults) expect(fault).not.toMatch(/undefined|\[object|Invalid input/);
  });

  it('with all its faults at once', () => {
    const given = spoilt((g) => {
      Object.assign(g.child, { born: '2025-02-29', feet: [] });
      Object.assign(g.clinic, { timeZone: 'Nowhere' });
      Object.assign(g, { asOf: 'now' });
      g.events.push({ type: 'x' }, { type: 'cast', date: '1', number: 0 });
    });
    expect(faultsOf(given).map((fault) => fault.split(':')[0])).toEqual([
      'child.born',
      'child.feet',
      'clinic.timeZone',
      'asOf',
      'events[10].type',
      'events[11].date',
      'events[11].number',
    ]);
  });

  it('and the sound record it was spoilt from is not', () => {
    expect(faultsOf(sound())).toEqual([]);
  });
});
