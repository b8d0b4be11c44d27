import { describe, expect, it } from 'vitest';
import {
  type ProgrammeChild,
  programmeFigures,
  quarterOf,
} from '../../../../src/core/course/programme/figures.js';
import { followUp } from '../../../../src/core/course/programme/follow-up.js';
import type { CourseEvent } from '../../../../src/core/model/course-events.js';
import { dayOf, isoOf } from '../../../../src/core/time/calendar-days.js';
import { casts, type Given, input, protocolNamed, TO_BRACE } from '../example-children.js';

const standard = protocolNamed('standard');
const follow = (given: Given) => {
  const found = followUp(input(given), standard);
  return found === null ? null : { ...found, from: isoOf(found.from), to: isoOf(found.to) };
};
const child = (clinic: string, given: Given, wear: ProgrammeChild['wear'] = []): ProgrammeChild => ({
  clinic,
  input: input(given),
  protocol: standard,
  wear,
});
const visit = (date: string): CourseEvent => ({ type: 'visit', date, kind: 'brace-check' });

describe('time to dropout', () => {
  // Pinto D et al. J Foot Ankle Surg 2022;61(4):730-734: 3 weeks in casting, 4 after the tenotomy, 6 months in the brace.
  it('is the day the limit passed with no visit', () => {
    expect(follow({ events: casts(['2026-01-26', '2026-02-02']), asOf: '2026-06-01' })).toMatchObject({
      to: '2026-02-23',
      isDropout: true,
      stage: 'cast',
    });
    const cut: CourseEvent[] = [
      ...casts(['2026-02-23']),
      { type: 'tenotomy', date: '2026-03-02' },
      { type: 'cast', date: '2026-03-02', number: 2 },
    ];
    expect(follow({ events: cut, asOf: '2026-06-01' })).toMatchObject({
      to: '2026-03-30',
      stage: 'tenotomy',
    });
    expect(follow({ events: [...TO_BRACE, visit('2026-08-31')], asOf: '2027-06-01' })).toMatchObject({
      to: '2027-02-28',
      stage: 'brace',
    });
  });

  it('is not reached while the child comes, nor by a child discharged or grown out of the brace', () => {
    expect(follow({ events: [...TO_BRACE, visit('2026-08-31')], asOf: '2027-02-27' })).toMatchObject({
      to: '2027-02-27',
      isDropout: false,
    });
    const left: CourseEvent[] = [...TO_BRACE, { type: 'discharged', date: '2026-06-01' }];
    expect(follow({ events: left, asOf: '2030-06-01' })).toMatchObject({
      to: '2026-06-01',
      isDropout: false,
    });
    const years = Array.from({ length: 9 }, (_, i) => visit(isoOf(dayOf('2026-03-09') + (i + 1) * 150)));
    expect(follow({ events: [...TO_BRACE, ...years], asOf: '2035-01-01' })).toMatchObject({
      to: '2029-12-20',
      isDropout: false,
    });
    expect(follow({ events: [], asOf: '2026-06-01' })).toBeNull();
  });

  it('counts a child that came back later as lost on the first such day', () => {
    expect(follow({ events: [...TO_BRACE, visit('2026-10-01')], asOf: '2026-10-02' })).toMatchObject({
      to: '2026-09-09',
      isDropout: true,
    });
  });
});

describe('programme figures', () => {
  const uncut: CourseEvent[] = [
    ...casts(['2026-01-05', '2026-01-12', '2026-01-19', '2026-01-26']),
    { type: 'cast-removed', date: '2026-02-02' },
    { type: 'brace', date: '2026-02-02' },
  ];
  const children = [
    child('hill', { events: TO_BRACE, asOf: '2026-04-01' }, [
      { date: '2026-03-16', low: 22, high: 22 },
      { date: '2026-03-23', low: 18, high: 22 },
    ]),
    child('hill', { events: uncut, feet: ['left'], asOf: '2026-04-01' }),
    child('lake', { events: casts(['2026-01-05']), asOf: '2026-04-01' }),
  ];

  it('count casts per foot, tenotomies, wear by age and losses, per clinic and for all', () => {
    const [hill, lake, all] = programmeFigures(children, null);
    expect(hill?.castsPerFoot).toMatchObject({ feet: 3, least: 4, most: 6 });
    expect(hill?.castsPerFoot.mean).toBeCloseTo(16 / 3);
    expect(hill?.tenotomy).toMatchObject({ count: 2, of: 3 });
    expect(hill?.wearByAge).toEqual([{ years: 0, children: 1, days: 2, hours: 21 }]);
    expect(lake?.dropout).toMatchObject({ children: 1, lost: 1, inCasting: 1, medianDays: 21 });
    expect(all).toMatchObject({ clinic: 'all', children: 3 });
    expect(all?.dropout.curve.map((step) => [step.time, step.atRisk, step.survival.toFixed(3)])).toEqual([
      [21, 3, '0.667'],
    ]);
  });

  it('count visits by whether they were kept, and only those whose time is over', () => {
    const [lake] = programmeFigures(
      [child('lake', { events: casts(['2026-01-05']), asOf: '2026-04-01' })],
      null,
    );
    // The first visit was kept, the next cast change is overdue, nothing after it is counted.
    expect(lake?.attendance).toMatchObject({ count: 1, of: 2 });
    expect(lake?.onTime).toMatchObject({ count: 1, of: 1 });
  });

  it('count only what lies in the quarter asked for', () => {
    expect([quarterOf(dayOf('2026-03-31')), quarterOf(dayOf('2026-04-01'))]).toEqual(['2026-Q1', '2026-Q2']);
    const [hill] = programmeFigures(children, '2025-Q4');
    expect(hill).toMatchObject({
      castsPerFoot: { feet: 0, mean: null },
      wearByAge: [],
      dropout: { children: 0 },
    });
  });
});
