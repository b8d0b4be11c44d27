import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import type { StaffId } from '../../../src/core/model/ids.js';
import { URGENCIES } from '../../../src/core/model/signs.js';
import { escalationSteps } from '../../../src/core/triage/escalation.js';
import { type ClinicHours, dueAt, isOpen } from '../../../src/core/triage/limits.js';
import { compareFlags, rankFlags } from '../../../src/core/triage/rank.js';
import { readTemperature } from '../../../src/core/triage/temperature.js';
import { HOUR, MINUTE, NOW, rules } from '../conversation/family.js';

const hours: ClinicHours = {
  timeZone: 'Africa/Nairobi',
  opens: '08:00',
  closes: '16:00',
  days: ['monday', 'tuesday', 'wednesday', 'thursday', 'friday'],
  closed: ['2026-04-03', '2026-04-06'],
};
const at = (iso: string, zone = hours.timeZone) => DateTime.fromISO(iso, { zone }).toMillis();
const local = (ms: number) =>
  DateTime.fromMillis(ms, { zone: hours.timeZone }).toFormat("yyyy-MM-dd'T'HH:mm");

describe('until when a person must have acted', () => {
  it.each([
    ['now, at night', '2026-03-07T02:00', 'now', 15, '2026-03-07T02:15'],
    ['today, in the morning', '2026-03-04T09:00', 'today', 240, '2026-03-04T13:00'],
    ['today, an hour before closing', '2026-03-04T15:00', 'today', 240, '2026-03-05T11:00'],
    ['today, on Friday afternoon: 24 hours at most', '2026-03-06T15:30', 'today', 240, '2026-03-07T15:30'],
    ['soon, on Friday afternoon', '2026-03-06T15:00', 'soon', 480, '2026-03-09T15:00'],
    ['soon, before Easter: closed days do not count', '2026-04-02T12:00', 'soon', 480, '2026-04-07T12:00'],
    ['soon, exactly at closing', '2026-03-04T08:00', 'soon', 480, '2026-03-04T16:00'],
  ] as const)('%s', (_, opened, urgency, limitMinutes, wanted) => {
    expect(local(dueAt(at(opened), { urgency, limitMinutes }, hours))).toBe(wanted);
  });

  it('counts real minutes on the day the clocks change', () => {
    const madrid = {
      ...hours,
      timeZone: 'Europe/Madrid',
      opens: '00:00',
      closes: '06:00',
      days: [],
      closed: [],
    };
    const opened = at('2026-03-29T00:00', madrid.timeZone);
    const due = dueAt(opened, { urgency: 'soon', limitMinutes: 240 }, madrid);
    expect(DateTime.fromMillis(due, { zone: madrid.timeZone }).toFormat('HH:mm')).toBe('05:00');
  });

  it('is by the clock when the clinic never opens', () => {
    const never = { ...hours, days: ['someday'] };
    expect(dueAt(NOW, { urgency: 'soon', limitMinutes: 60 }, never)).toBe(NOW + HOUR);
    expect(isOpen(NOW, never)).toBe(false);
  });

  it('never lies before the opening, and a longer limit never ends sooner', () => {
    const instant = fc.integer({ min: at('2026-01-01T00:00'), max: at('2026-12-31T00:00') });
    const limit = fc.integer({ min: 1, max: 2000 });
    fc.assert(
      fc.property(
        instant,
        limit,
        limit,
        fc.constantFrom('now', 'today', 'soon' as const),
        (from, a, b, urgency) => {
          const [short, long] = [Math.min(a, b), Math.max(a, b)];
          const due = dueAt(from, { urgency, limitMinutes: short }, hours);
          expect(due).toBeGreaterThan(from);
          expect(dueAt(from, { urgency, limitMinutes: long }, hours)).toBeGreaterThanOrEqual(due);
        },
      ),
    );
  });
});

describe('the order of the queue', () => {
  const flag = (
    id: string,
    urgency: (typeof URGENCIES)[number],
    dueIn: number,
    risk: number,
    waited: number,
  ) => ({
    id,
    urgency,
    dueAt: NOW + dueIn * MINUTE,
    risk,
    openedAt: NOW - waited * MINUTE,
  });

  it('is urgency, then overdue, then risk, then wait', () => {
    const flags = [
      flag('soon, overdue, high risk', 'soon', -900, 100, 2000),
      flag('today, low risk, waits longest', 'today', 60, 10, 300),
      flag('now, low risk', 'now', 10, 5, 5),
      flag('today, overdue', 'today', -1, 5, 241),
      flag('today, high risk', 'today', 60, 80, 1),
      flag('now, overdue', 'now', -5, 0, 20),
      flag('today, low risk, newer', 'today', 60, 10, 200),
    ];
    expect(rankFlags(flags, NOW).map(({ id }) => id)).toEqual([
      'now, overdue',
      'now, low risk',
      'today, overdue',
      'today, high risk',
      'today, low risk, waits longest',
      'today, low risk, newer',
      'soon, overdue, high risk',
    ]);
  });

  it('is one order: any shuffle gives the same queue', () => {
    const one = fc.record({
      id: fc.uuid(),
      urgency: fc.constantFrom(...URGENCIES),
      dueAt: fc.integer({ min: NOW - 5, max: NOW + 5 }),
      risk: fc.integer({ min: 0, max: 3 }),
      openedAt: fc.integer({ min: NOW - 3, max: NOW }),
    });
    fc.assert(
      fc.property(
        fc.uniqueArray(one, { selector: ({ id }) => id, maxLength: 12 }),
        fc.infiniteStream(fc.nat()),
        (flags, keys) => {
          const shuffled = flags
            .map((each) => ({ each, key: keys.next().value }))
            .sort((a, b) => a.key - b.key);
          const order = rankFlags(flags, NOW);
          expect(
            rankFlags(
              shuffled.map(({ each }) => each),
              NOW,
            ),
          ).toEqual(order);
          for (const [index, each] of order.entries()) {
            const next = order[index + 1];
            if (next) expect(compareFlags(each, next, NOW)).toBeLessThan(0);
          }
        },
      ),
    );
  });
});

describe('a flag nobody takes', () => {
  const rota = { nurse: 'nurse' as StaffId, second: 'second' as StaffId, clinician: 'clinician' as StaffId };
  const open = (urgency: 'now' | 'today' | 'soon', openedAt: number, dueIn = 15) =>
    ({ urgency, openedAt, dueAt: openedAt + dueIn * MINUTE, state: 'open', escalatedStep: 0 }) as const;
  const morning = at('2026-03-04T09:00');
  const night = at('2026-03-04T23:00');

  it('goes to the nurse on call, then to a second person, then to the clinician', () => {
    const told = (minutes: number) =>
      escalationSteps(rules, open('now', morning), rota, hours, morning + minutes * MINUTE).due.map(
        ({ step }) => step,
      );
    expect([told(4), told(5), told(15), told(30)]).toEqual([
      [],
      ['nurse'],
      ['nurse', 'second'],
      ['nurse', 'second', 'clinician'],
    ]);
  });

  it('outside clinic hours is told at once', () => {
    const plan = escalationSteps(rules, open('now', night), rota, hours, night);
    expect(plan.due.map(({ step, staffId }) => [step, staffId])).toEqual([['nurse', 'nurse']]);
    expect(plan.nextAt).toBe(night + 10 * MINUTE);
  });

  it('does each step once, and none after it was taken', () => {
    const later = morning + HOUR;
    expect(
      escalationSteps(rules, { ...open('now', morning), escalatedStep: 2 }, rota, hours, later).due,
    ).toMatchObject([{ step: 'clinician', number: 3 }]);
    expect(
      escalationSteps(rules, { ...open('now', morning), escalatedStep: 3 }, rota, hours, later).nextAt,
    ).toBeNull();
    expect(
      escalationSteps(rules, { ...open('now', morning), state: 'taken' }, rota, hours, later).due,
    ).toEqual([]);
  });

  it('of today waits until its limit has passed', () => {
    const flag = open('today', morning, 240);
    expect(escalationSteps(rules, flag, rota, hours, morning + 239 * MINUTE)).toEqual({
      due: [],
      nextAt: flag.dueAt,
    });
    expect(escalationSteps(rules, flag, rota, hours, flag.dueAt).due.map(({ step }) => step)).toEqual([
      'nurse',
    ]);
  });

  it('goes past a place nobody fills to the next one', () => {
    const thin = { ...rota, nurse: null, second: null };
    const { due } = escalationSteps(rules, open('now', night), thin, hours, night);
    expect(due).toMatchObject([{ step: 'nurse', staffId: 'clinician' }]);
  });
});

describe('a temperature in a text', () => {
  it.each([
    ['fever 38.5', 38.5],
    ['38,5 de fièvre', 38.5],
    ['حرارة ٣٩٫٢', 39.2],
    ['बुखार १०२ F', 38.9],
    ['temp is 38 now, was 39.5', 39.5],
    ['born 2025, 12 days old', null],
    ['call 0712 345 678', null],
    ['at 10:38', null],
    ['he weighs 4.2', null],
  ])('%s', (text, wanted) => {
    expect(readTemperature(text)).toBe(wanted);
  });
});
