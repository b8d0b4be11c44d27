import { describe, expect, it } from 'vitest';
import { bracedOn, casts, courseOf, TO_BRACE } from './example-children.js';

/** Dates worked out outside this project from published schedules; the source stands beside each. */
describe('dates of the standard course against published schedules', () => {
  it('steps down three calendar months after a fitting on 31 January: 30 April, not 25 April (12 weeks)', () => {
    // "23 hours a day for 3 months": St. Louis, post-casting care. Month end clamped.
    const course = courseOf({ events: bracedOn('2026-01-31'), born: '2025-11-20', asOf: '2026-02-10' });
    expect(course.phases.find((span) => span.phase === 'brace-day')).toEqual({
      phase: 'brace-day',
      from: '2026-01-31',
      to: '2026-04-30',
    });
  });

  it('steps down twelve weeks after a fitting on 31 January where a protocol says weeks: 25 April', () => {
    // "23 hours a day for 12 weeks": Sheffield, boots and bar.
    const protocol = 'weekly-casts-12-weeks-nights-12-14h';
    const course = courseOf({
      protocol,
      events: bracedOn('2026-01-31'),
      born: '2025-11-20',
      asOf: '2026-02-10',
    });
    expect(course.phases.find((span) => span.phase === 'brace-day')?.to).toBe('2026-04-25');
  });

  it('tapers month by month as published', () => {
    // Desai L et al. Iowa Orthop J 2010;30:15-23, table 2; brace fitted on 2026-01-15.
    const course = courseOf({
      protocol: 'weekly-casts-tapering-wear',
      events: bracedOn('2026-01-15'),
      born: '2025-11-20',
      asOf: '2026-02-10',
    });
    expect(course.wearSteps.map((step) => [step.hoursFrom, step.hoursTo, step.to])).toEqual([
      [23, 23, '2026-04-15'],
      [20, 22, '2026-05-15'],
      [18, 20, '2026-06-15'],
      [16, 18, '2026-07-15'],
      [14, 16, '2026-08-15'],
      [12, 14, '2029-11-20'],
    ]);
  });

  it('ends the nights on 28 February where five years are meant and the birth was on the 29th', () => {
    // To 5 years: Int J Environ Res Public Health 2023;20(19):6846.
    const protocol = 'weekly-casts-12-weeks-sleep-only-to-5-years';
    const course = courseOf({
      protocol,
      born: '2024-02-29',
      events: bracedOn('2024-06-03'),
      asOf: '2025-01-01',
    });
    expect(course.phases.find((span) => span.phase === 'brace-night')?.to).toBe('2029-02-28');
  });

  it('takes the last cast off three weeks after the tenotomy, two to four weeks being published', () => {
    // 3 weeks: Alder Hey, tenotomy in clinic; 2: Melbourne practice, percutaneous tenotomy; 4: Gillette, tenotomy.
    const course = courseOf({
      events: [
        ...casts(['2026-02-16', '2026-02-23']),
        { type: 'tenotomy', date: '2026-03-02' },
        { type: 'cast', date: '2026-03-02', number: 3 },
      ],
      asOf: '2026-03-03',
    });
    expect(course.phase).toBe('tenotomy');
    expect(course.visits.find((visit) => visit.kind === 'cast-removal')).toEqual({
      kind: 'cast-removal',
      due: '2026-03-23',
      windowFrom: '2026-03-16',
      windowTo: '2026-03-30',
      status: 'planned',
    });
  });

  it('puts the sixth weekly cast of a series begun on 5 January on 9 February', () => {
    // Weekly casts: Ponseti.info, casting care.
    const course = courseOf({ events: casts(['2026-01-05']), asOf: '2026-01-05' });
    const changes = course.visits.filter((visit) => visit.kind === 'cast-change').map((visit) => visit.due);
    expect(changes).toEqual(['2026-01-12', '2026-01-19', '2026-01-26', '2026-02-02', '2026-02-09']);
  });

  it('ends the nights on the fourth birthday of a child born on 29 February', () => {
    // To 4 years: Int J Environ Res Public Health 2023;20(19):6846.
    const course = courseOf({ born: '2024-02-29', events: bracedOn('2024-06-03'), asOf: '2025-01-01' });
    expect(course.phases.find((span) => span.phase === 'brace-night')?.to).toBe('2028-02-29');
    expect(course.phases.at(-1)).toEqual({ phase: 'review', from: '2028-02-29', to: null });
  });

  it('counts as dropped out after 3 weeks in casting, 4 after the tenotomy, 6 months in the brace', () => {
    // Pinto D et al. J Foot Ankle Surg 2022;61(4):730-734.
    const inCast = (asOf: string) => courseOf({ events: casts(['2026-01-26', '2026-02-02']), asOf });
    const afterTenotomy = (asOf: string) =>
      courseOf({
        events: [
          ...casts(['2026-02-23']),
          { type: 'tenotomy', date: '2026-03-02' },
          { type: 'cast', date: '2026-03-02', number: 2 },
        ],
        asOf,
      });
    const inBrace = (asOf: string) =>
      courseOf({ events: [...TO_BRACE, { type: 'visit', date: '2026-08-31', kind: 'brace-check' }], asOf });
    const isLost = (course: ReturnType<typeof inCast>) =>
      course.alerts.some((alert) => alert.code === 'dropped-out');
    expect([inCast('2026-02-22'), inCast('2026-02-23')].map(isLost)).toEqual([false, true]);
    expect([afterTenotomy('2026-03-29'), afterTenotomy('2026-03-30')].map(isLost)).toEqual([false, true]);
    expect([inBrace('2027-02-27'), inBrace('2027-02-28')].map(isLost)).toEqual([false, true]);
  });
});
