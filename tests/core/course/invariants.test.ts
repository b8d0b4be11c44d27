import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { type Course, planCourse } from '../../../src/core/course/course.js';
import { readCourseInput } from '../../../src/core/course/read-input.js';
import { CHECK_INS } from '../../../src/core/model/texts.js';
import { addMonths, dayOf, isoOf, WEEKDAYS, weekdayIndex } from '../../../src/core/time/calendar-days.js';
import { type AnyRecord, anyRecord } from './any-history.js';
import { PROTOCOLS, protocolNamed } from './example-children.js';

/** TOELINE_RUNS=10000 for the long run; the short one keeps the test command quick. */
const RUNS = { numRuns: Number(process.env.TOELINE_RUNS ?? 1000) };

function plan(record: AnyRecord): Course {
  const read = readCourseInput(structuredClone(record), PROTOCOLS);
  if (!read.isValid) throw new Error(JSON.stringify(read.faults));
  return planCourse(read.input, protocolNamed(record.protocol));
}

/** As `expect(...).toBe(true)`, without its cost: some of these run a million times. */
function must(isSo: boolean, what: unknown): void {
  if (!isSo) throw new Error(`not so: ${JSON.stringify(what)}`);
}

const holds = (check: (course: Course, record: AnyRecord) => void) =>
  fc.assert(
    fc.property(anyRecord, (record) => check(plan(record), record)),
    RUNS,
  );

describe('for any history that can have happened', () => {
  it('phases follow each other from birth on without a gap, and the present one holds the day asked for', () => {
    holds(({ phases, phase }, { child, asOf }) => {
      expect(phases[0]?.from).toBe(child.born);
      expect(phases.at(-1)?.to).toBeNull();
      phases.forEach((span, i) => {
        if (i > 0) expect(span.from).toBe(phases[i - 1]?.to);
        if (span.to !== null) expect(span.from < span.to).toBe(true);
      });
      const now = phases.filter((span) => span.from <= asOf && (span.to === null || asOf < span.to));
      expect(now.map((span) => span.phase)).toEqual([phase]);
    });
  });

  it('every window holds its due date, which is a clinic day and no holiday unless an alert says why not', () => {
    holds(({ visits, alerts }, { clinic, child }) => {
      const excused = alerts.filter((alert) => alert.code === 'no-clinic-day').map((alert) => alert.since);
      const holidays = new Set(clinic.holidays);
      for (const { due, windowFrom, windowTo } of visits) {
        must(windowFrom <= due && due <= windowTo, { due, windowFrom, windowTo });
        must(windowFrom >= child.born, { windowFrom });
        const weekday = WEEKDAYS[weekdayIndex(dayOf(due))] ?? '';
        must((clinic.clinicDays.includes(weekday) && !holidays.has(due)) || excused.includes(due), {
          due,
          weekday,
        });
      }
    });
  });

  it('statuses agree with the day asked for', () => {
    holds(({ visits }, { asOf }) => {
      for (const { status, due, windowFrom, windowTo } of visits) {
        if (status === 'planned')
          must(asOf < windowFrom && asOf < due, { status, due, windowFrom, windowTo });
        if (status === 'due')
          must(windowFrom <= asOf && asOf <= windowTo, { status, due, windowFrom, windowTo });
        if (status === 'overdue') must(asOf > windowTo && asOf > due, { status, due, windowFrom, windowTo });
      }
      expect([...visits].map((visit) => visit.due)).toEqual([...visits].map((visit) => visit.due).sort());
    });
  });

  it('every day a child was seen is one kept visit', () => {
    holds(({ visits }, { events }) => {
      const seen = new Set(
        events
          .filter(
            (event) => event.type !== 'missed' && event.type !== 'discharged' && event.type !== 'slipped',
          )
          .map((e) => e.date),
      );
      const kept = visits.filter((visit) => visit.status === 'kept').map((visit) => visit.keptOn);
      expect(new Set(kept).size).toBe(kept.length);
      expect([...seen].filter((date) => !kept.includes(date))).toEqual([]);
    });
  });

  it('texts go inside sending hours by the clinic’s clock, none twice, at most one question a day', () => {
    holds(({ texts }, { clinic, asOf }) => {
      const keys = texts.map((text) => `${text.kind} ${text.for}`);
      expect(new Set(keys).size).toBe(keys.length);
      const days: string[] = [];
      for (const text of texts) {
        const local = DateTime.fromISO(text.at, { setZone: true });
        const there = DateTime.fromISO(text.at, { zone: clinic.timeZone });
        must(local.offset === there.offset, text);
        const clock = there.toFormat('HH:mm');
        must(clock >= '08:00' && clock < '20:00', text);
        must((there.toISODate() ?? '') >= asOf, text);
        must(Date.parse(text.expires) > Date.parse(text.at), text);
        if ((CHECK_INS as readonly string[]).includes(text.kind)) days.push(there.toISODate() ?? '');
      }
      expect(new Set(days).size).toBe(days.length);
      expect(texts.map((text) => Date.parse(text.at))).toEqual(
        texts.map((text) => Date.parse(text.at)).sort((a, b) => a - b),
      );
    });
  });

  it('the same record gives the same course, whatever the order its events are listed in', () => {
    fc.assert(
      fc.property(anyRecord, fc.infiniteStream(fc.nat()), (record, order) => {
        const keys = record.events.map(() => order.next().value as number);
        const mixed = record.events
          .map((event, i) => ({ event, key: keys[i] ?? 0 }))
          .sort((a, b) => a.key - b.key)
          .map(({ event }) => event);
        expect(plan({ ...record, events: mixed })).toEqual(plan(record));
      }),
      RUNS,
    );
  });

  it('visits kept or missed move no phase and no wear target', () => {
    holds((course, record) => {
      const without = record.events.filter((event) => event.type !== 'visit' && event.type !== 'missed');
      const bare = plan({ ...record, events: without });
      expect(bare.phases).toEqual(course.phases);
      expect(bare.wearTarget).toEqual(course.wearTarget);
    });
  });

  it('nothing changes by the passing of time alone before the day it says it will', () => {
    fc.assert(
      fc.property(anyRecord, fc.nat({ max: 400 }), (record, wait) => {
        const course = plan(record);
        const latest = Math.min(
          course.nextChange === null ? dayOf(record.asOf) + wait : dayOf(course.nextChange) - 1,
          dayOf(record.asOf) + wait,
          addMonths(dayOf(record.child.born), 30 * 12),
        );
        if (latest <= dayOf(record.asOf)) return;
        const later = plan({ ...record, asOf: isoOf(latest) });
        const { asOf: _, texts, ...rest } = course;
        const { asOf: __, texts: laterTexts, ...laterRest } = later;
        expect(laterRest).toEqual(rest);
        expect(laterTexts).toEqual(texts.filter((text) => text.at.slice(0, 10) >= later.asOf));
      }),
      RUNS,
    );
  });

  it('no child in care is without a next step: an open visit, or an alert that a person must act', () => {
    holds(({ phase, visits, alerts }, { child, asOf }) => {
      if (phase === 'discharged' || asOf >= isoOf(addMonths(dayOf(child.born), 15 * 12))) return;
      const isOpen = visits.some((visit) => visit.status !== 'kept' && visit.status !== 'missed');
      expect(isOpen || alerts.some((alert) => alert.urgency !== 'none')).toBe(true);
    });
  });

  it('a course is plain JSON', () => {
    holds((course) => {
      expect(JSON.parse(JSON.stringify(course))).toEqual(course);
    });
  });
});
