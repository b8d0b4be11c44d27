import { describe, expect, it } from 'vitest';
import type { CourseEvent } from '../../../src/core/model/course-events.js';
import { casts, courseOf, TO_BRACE } from './example-children.js';

const codes = (course: ReturnType<typeof courseOf>) => course.alerts.map((alert) => alert.code);
const kinds = (course: ReturnType<typeof courseOf>) => course.texts.map((text) => text.kind);

describe('the course of one child', () => {
  it('before any visit, the first visit stands between two and six weeks of age', () => {
    const course = courseOf({ born: '2026-01-01', asOf: '2026-01-02' });
    expect(course.phase).toBe('before');
    expect(course.phases).toEqual([{ phase: 'before', from: '2026-01-01', to: null }]);
    expect(course.visits[0]).toMatchObject({
      kind: 'first-visit',
      due: '2026-01-15',
      windowTo: '2026-02-12',
    });
    expect(course.wearTarget).toBeNull();
  });

  it('counts the first visit of a child born six weeks early from term', () => {
    const course = courseOf({ born: '2026-01-01', child: { weeksEarly: 6 }, asOf: '2026-01-02' });
    expect(course.visits[0]).toMatchObject({ due: '2026-02-26', windowTo: '2026-03-26' });
  });

  it('runs through all phases of a usual course without a gap', () => {
    const course = courseOf({ events: TO_BRACE, asOf: '2026-03-10' });
    expect(course.phases).toEqual([
      { phase: 'before', from: '2025-12-20', to: '2026-01-05' },
      { phase: 'cast', from: '2026-01-05', to: '2026-02-16' },
      { phase: 'tenotomy', from: '2026-02-16', to: '2026-03-09' },
      { phase: 'brace-day', from: '2026-03-09', to: '2026-06-09' },
      { phase: 'brace-night', from: '2026-06-09', to: '2029-12-20' },
      { phase: 'review', from: '2029-12-20', to: null },
    ]);
    expect(course.wearTarget).toEqual({ hoursPerDay: 23 });
    expect(course.alerts).toEqual([]);
  });

  it('asks for 12 to 14 hours once the three months are over', () => {
    expect(courseOf({ events: TO_BRACE, asOf: '2026-06-08' }).wearTarget).toEqual({ hoursPerDay: 23 });
    expect(courseOf({ events: TO_BRACE, asOf: '2026-06-09' }).wearTarget).toEqual({
      hoursPerDay: 12,
      hoursPerDayTo: 14,
    });
    expect(courseOf({ events: TO_BRACE, asOf: '2029-12-20' }).wearTarget).toBeNull();
  });

  it('a visit is planned, then due while its window is open, then overdue', () => {
    const status = (asOf: string) =>
      courseOf({ events: casts(['2026-01-05']), asOf }).visits.find((visit) => visit.due === '2026-01-12')
        ?.status;
    expect(['2026-01-08', '2026-01-09', '2026-01-15', '2026-01-16'].map(status)).toEqual([
      'planned',
      'due',
      'due',
      'overdue',
    ]);
  });

  it('a missed cast change is made up on the next clinic day and a person calls on the third day', () => {
    const events = [...casts(['2026-01-05']), { type: 'missed', date: '2026-01-12' } as const];
    const next = courseOf({ events, clinicDays: ['monday', 'thursday'], asOf: '2026-01-12' });
    expect(
      next.visits.filter((visit) => !visit.isExpectation).map(({ due, status }) => [due, status]),
    ).toEqual([
      ['2026-01-01', 'kept'],
      ['2026-01-12', 'missed'],
      ['2026-01-15', 'planned'],
    ]);
    expect(kinds(next)).toContain('missed-visit');
    expect(kinds(next)).toContain('missed-visit-again');
    expect(codes(next)).toEqual([]);
    expect(codes(courseOf({ events, asOf: '2026-01-15' }))).toEqual(['trace-missed-visit']);
  });

  it('a cast on for more than two weeks is an alert for now', () => {
    const course = courseOf({ events: casts(['2026-01-05']), asOf: '2026-01-20' });
    expect(course.alerts.find((alert) => alert.code === 'cast-too-old')).toMatchObject({
      urgency: 'now',
      foot: 'left',
    });
    expect(codes(courseOf({ events: casts(['2026-01-05']), asOf: '2026-01-19' }))).not.toContain(
      'cast-too-old',
    );
  });

  it('a last cast that came off without a brace is an alert the same day, and the brace is the next step', () => {
    const course = courseOf({ events: TO_BRACE.slice(0, -1), asOf: '2026-03-09' });
    expect(codes(course)).toEqual(['brace-not-fitted', 'brace-not-fitted']);
    expect(course.phase).toBe('tenotomy');
    expect(course.visits.find((visit) => visit.status === 'due')).toMatchObject({
      kind: 'brace-check',
      due: '2026-03-09',
    });
  });

  it('a cast after the brace begins a recasting, and a new brace begins the wear again', () => {
    const events = [
      ...TO_BRACE,
      ...casts(['2027-01-04', '2027-01-18']),
      { type: 'cast-removed', date: '2027-02-01' } as const,
      { type: 'brace', date: '2027-02-01' } as const,
    ];
    const course = courseOf({ events, asOf: '2027-03-01' });
    expect(course.phases.map((span) => [span.phase, span.from])).toEqual([
      ['before', '2025-12-20'],
      ['cast', '2026-01-05'],
      ['tenotomy', '2026-02-16'],
      ['brace-day', '2026-03-09'],
      ['brace-night', '2026-06-09'],
      ['cast', '2027-01-04'],
      ['brace-day', '2027-02-01'],
      ['brace-night', '2027-05-01'],
      ['review', '2029-12-20'],
    ]);
  });

  it('after discharge nothing is due and nothing is sent', () => {
    const course = courseOf({
      events: [...TO_BRACE, { type: 'discharged', date: '2026-09-01' }],
      asOf: '2026-09-01',
    });
    expect(course.phase).toBe('discharged');
    expect(course.texts).toEqual([]);
    expect(course.wearTarget).toBeNull();
    expect(course.visits.filter((visit) => visit.status !== 'kept' && visit.status !== 'missed')).toEqual([]);
    expect(course.nextChange).toBeNull();
  });

  it('moves a due date off a holiday to the nearest clinic day, the earlier of two', () => {
    const due = (clinicDays: string[], holidays: string[]) =>
      courseOf({ events: casts(['2026-01-05']), clinicDays, holidays, asOf: '2026-01-05' }).visits[1]?.due;
    expect(due(['monday', 'tuesday', 'friday'], ['2026-01-12'])).toBe('2026-01-13');
    expect(due(['monday', 'tuesday', 'sunday'], ['2026-01-12'])).toBe('2026-01-11');
  });

  it('says so when no clinic day fits into the window instead of moving the visit silently', () => {
    const course = courseOf({
      events: casts(['2026-01-05']),
      clinicDays: ['monday'],
      holidays: ['2026-01-12'],
      asOf: '2026-01-05',
    });
    expect(course.visits[1]).toMatchObject({
      due: '2026-01-12',
      windowFrom: '2026-01-09',
      windowTo: '2026-01-15',
    });
    const alert = course.alerts.find((one) => one.code === 'no-clinic-day' && one.since === '2026-01-12');
    expect(alert?.reason).toContain('the next is 2026-01-19');
  });

  it('writes to the family in the evening of a new cast and before the next visit, inside sending hours', () => {
    const course = courseOf({ events: casts(['2026-01-05']), asOf: '2026-01-05', timeZone: 'Asia/Kolkata' });
    expect(course.texts.slice(0, 4)).toEqual([
      {
        at: '2026-01-05T18:00:00+05:30',
        kind: 'cast-day',
        for: '2026-01-05',
        expires: '2026-01-05T20:00:00+05:30',
      },
      {
        at: '2026-01-08T10:00:00+05:30',
        kind: 'cast-mid',
        for: '2026-01-08',
        expires: '2026-01-09T20:00:00+05:30',
      },
      {
        at: '2026-01-09T10:00:00+05:30',
        kind: 'visit-in-3-days',
        for: 'cast-change 2026-01-12',
        visitKind: 'cast-change',
        expires: '2026-01-10T20:00:00+05:30',
      },
      {
        at: '2026-01-11T10:00:00+05:30',
        kind: 'visit-tomorrow',
        for: 'cast-change 2026-01-12',
        visitKind: 'cast-change',
        expires: '2026-01-11T20:00:00+05:30',
      },
    ]);
  });

  it('keeps the clinic’s clock over a change to summer time', () => {
    const course = courseOf({ events: casts(['2026-03-24']), asOf: '2026-03-24', timeZone: 'Europe/London' });
    // British Summer Time began on 2026-03-29 (IANA time zone database).
    const at = course.texts.map((text) => text.at);
    expect(at).toContain('2026-03-28T10:00:00+00:00');
    expect(at).toContain('2026-03-30T10:00:00+01:00');
  });

  it('texts go at the hour the family chose, except those tied to an hour, and never outside sending hours', () => {
    const at = (textHour: string) =>
      courseOf({ events: casts(['2026-01-05']), child: { textHour }, asOf: '2026-01-05' }).texts.map(
        (text) => `${text.kind} ${text.at.slice(11, 16)}`,
      );
    expect(at('12:30').slice(0, 3)).toEqual(['cast-day 18:00', 'cast-mid 12:30', 'visit-in-3-days 12:30']);
    expect(at('23:00')[1]).toBe('cast-mid 19:30');
    expect(at('05:00')[1]).toBe('cast-mid 08:00');
  });

  it('an abroad-removed cast leaves the brace as the next step', () => {
    const events = [
      ...TO_BRACE.slice(0, -2),
      { type: 'cast-removed', date: '2026-03-05', where: 'elsewhere' } as const,
    ];
    const course = courseOf({ events, asOf: '2026-03-06' });
    expect(codes(course)).toEqual(['brace-not-fitted', 'brace-not-fitted']);
  });

  it('one foot finishes first: its cast comes off on a day the other foot is seen, and the child stays in casts', () => {
    const right = { right: {} };
    const events: CourseEvent[] = [
      ...casts(['2026-01-05', '2026-01-12', '2026-01-19']),
      { type: 'tenotomy', date: '2026-01-26', feet: ['left'] },
      { type: 'cast', date: '2026-01-26', number: 4 },
      { type: 'cast', date: '2026-02-02', number: 5, feet: right },
    ];
    const course = courseOf({ events, asOf: '2026-02-02' });
    expect(course.phase).toBe('cast');
    expect(course.feet.map(({ foot, stage, casts: n }) => [foot, stage, n])).toEqual([
      ['left', 'tenotomy', 4],
      ['right', 'cast', 5],
    ]);
    expect(course.visits.find((visit) => visit.kind === 'cast-removal')).toMatchObject({ due: '2026-02-16' });
    const off: CourseEvent[] = [
      ...events,
      { type: 'cast-removed', date: '2026-02-16', feet: ['left'] },
      { type: 'cast', date: '2026-02-16', number: 6, feet: right },
      { type: 'tenotomy', date: '2026-02-23', feet: ['right'] },
      { type: 'cast', date: '2026-02-23', number: 7, feet: right },
    ];
    const later = courseOf({ events: off, asOf: '2026-02-23' });
    expect(later.phase).toBe('tenotomy');
    expect(later.alerts.map(({ code, foot }) => [code, foot])).toEqual([['brace-not-fitted', 'left']]);
    const removal = later.visits.find((visit) => visit.kind === 'cast-removal' && visit.status === 'planned');
    expect(removal?.due).toBe('2026-03-16');
    const braced = courseOf({
      events: [
        ...off,
        { type: 'brace', date: '2026-02-24', feet: ['left'] },
        { type: 'cast-removed', date: '2026-03-16' },
        { type: 'brace', date: '2026-03-16' },
      ],
      asOf: '2026-03-16',
    });
    expect(braced.phases.at(-3)).toEqual({ phase: 'brace-day', from: '2026-03-16', to: '2026-06-16' });
  });

  it('a child who comes back after a long gap is pointed out for four weeks, and the casts go on', () => {
    const events = casts(['2026-01-05', '2026-01-12', '2026-05-04']);
    const back = courseOf({ events, asOf: '2026-05-05' });
    expect(back.alerts.map(({ code, since }) => [code, since])).toEqual([['back-after-gap', '2026-05-04']]);
    expect(back.phase).toBe('cast');
    expect(
      courseOf({ events: casts(['2026-01-05', '2026-01-12', '2026-02-02']), asOf: '2026-02-02' }).alerts,
    ).toEqual([]);
  });

  it('a child taken over from another clinic may begin with any cast, or with the brace', () => {
    const inCast: CourseEvent[] = [
      { type: 'transferred-in', date: '2026-01-05' },
      ...casts(['2026-01-05'], 4),
    ];
    expect(courseOf({ events: inCast, asOf: '2026-01-05' })).toMatchObject({ phase: 'cast' });
    const inBrace: CourseEvent[] = [
      { type: 'transferred-in', date: '2026-05-04' },
      { type: 'brace', date: '2026-03-09', where: 'elsewhere' },
    ];
    const course = courseOf({ events: inBrace, asOf: '2026-05-04' });
    expect(course.wearTarget).toEqual({ hoursPerDay: 23 });
    expect(course.phases.find((span) => span.phase === 'brace-day')).toMatchObject({
      from: '2026-03-09',
      to: '2026-06-09',
    });
  });

  it('a child who moves away is no longer texted, also in a cast, and may come back', () => {
    const away: CourseEvent[] = [...casts(['2026-01-05']), { type: 'transferred-out', date: '2026-01-08' }];
    expect(courseOf({ events: away, asOf: '2026-01-09' })).toMatchObject({
      phase: 'discharged',
      texts: [],
      alerts: [],
    });
    const back: CourseEvent[] = [
      ...away,
      { type: 'readmitted', date: '2026-01-19' },
      ...casts(['2026-01-19'], 2),
    ];
    const course = courseOf({ events: back, asOf: '2026-01-19' });
    expect(course.phases.map((span) => span.phase)).toEqual(['before', 'cast', 'discharged', 'cast']);
    expect(course.visits.find((visit) => visit.status === 'planned')?.due).toBe('2026-01-26');
  });

  it('shows per foot what was found beside what is expected, and what studies say of such feet', () => {
    const left = { abduction: 10, abductionAngle: 'thigh-foot', pirani: 5 } as const;
    const events: CourseEvent[] = [
      { type: 'cast', date: '2026-01-05', number: 1, feet: { left } },
      { type: 'cast', date: '2026-01-12', number: 2, feet: { left: { ...left, abduction: 22, pirani: 4 } } },
    ];
    const [foot] = courseOf({ feet: ['left'], events, asOf: '2026-01-12' }).feet;
    expect(
      foot?.visits.map((visit) => [
        visit.cast,
        visit.abduction,
        visit.expectedAbduction,
        visit.pirani?.total,
      ]),
    ).toEqual([
      [1, 10, [10, 10], 5],
      [2, 22, [20, 25], 4],
    ]);
    expect(foot?.published.map((one) => one.about)).toEqual(['casts', 'tenotomy']);
  });
});
