import { describe, expect, test } from 'vitest';
import { mayGo } from '../../src/jobs/may-go.js';
import { nextLocalDay, nextSendingTime } from '../../src/jobs/sending-hours.js';
import type { Clinic } from '../../src/store/clinics.js';

const at = (iso: string) => Date.parse(iso);
const hours = (timeZone: string, sendingFrom = '08:00', sendingTo = '20:00') => ({
  timeZone,
  sendingFrom,
  sendingTo,
});

describe('sending hours in the clinic’s zone', () => {
  test('inside them a text goes at once; the opening is inside, the end is not', () => {
    const kampala = hours('Africa/Kampala');
    for (const now of ['2026-06-02T08:00+03:00', '2026-06-02T19:59+03:00']) {
      expect(nextSendingTime(at(now), kampala)).toBe(at(now));
    }
    expect(nextSendingTime(at('2026-06-02T20:00+03:00'), kampala)).toBe(at('2026-06-03T08:00+03:00'));
    expect(nextSendingTime(at('2026-06-02T03:00+03:00'), kampala)).toBe(at('2026-06-02T08:00+03:00'));
  });

  // Berlin: clocks go from 02:00 to 03:00 on 29 March 2026 and from 03:00 back to 02:00 on 25 October (IANA tz database).
  test('an opening in the hour that does not exist is the instant the clocks go forward to', () => {
    const night = hours('Europe/Berlin', '02:30', '20:00');
    expect(nextSendingTime(at('2026-03-29T00:30+01:00'), night)).toBe(at('2026-03-29T03:30+02:00'));
    expect(nextSendingTime(at('2026-03-28T23:00+01:00'), hours('Europe/Berlin'))).toBe(
      at('2026-03-29T08:00+02:00'),
    );
  });

  test('in the night with an hour twice, the opening comes once', () => {
    const night = hours('Europe/Berlin', '02:30', '20:00');
    const opening = nextSendingTime(at('2026-10-25T00:30+02:00'), night);
    expect(opening).toBe(at('2026-10-25T02:30+02:00'));
    // Half past two again, an hour later: open since the first.
    expect(nextSendingTime(at('2026-10-25T02:30+01:00'), night)).toBe(at('2026-10-25T02:30+01:00'));
    expect(nextLocalDay(at('2026-10-25T00:00+02:00'), 'Europe/Berlin') - at('2026-10-25T00:00+02:00')).toBe(
      25 * 3_600_000,
    );
  });
});

describe('whether a text may go', () => {
  const clinic = {
    ...hours('UTC'),
    settings: { spreadMinutes: 10 },
  } as unknown as Clinic;
  const noon = at('2026-06-02T12:00Z');
  const midnight = at('2026-06-02T23:00Z');
  const opening = at('2026-06-03T08:00Z');
  const text = {
    id: 'a' as never,
    lane: 'check-in' as const,
    not_before: new Date(noon - 1),
    next_try_at: null,
    expires_at: null,
    ignores_hours: false,
    is_number_stopped: false,
    is_child_stopped: false,
    quiet_until: null,
  };

  test('a check-in waits for the morning, spread over the clinic’s minutes', () => {
    const verdict = mayGo(text, clinic, midnight);
    expect(verdict.kind).toBe('wait');
    if (verdict.kind !== 'wait') return;
    expect(verdict.until).toBeGreaterThanOrEqual(opening);
    expect(verdict.until).toBeLessThan(opening + 10 * 60_000);
    const others = Array.from({ length: 100 }, (_none, index) => {
      const other = mayGo({ ...text, id: `text-${index}` as never }, clinic, midnight);
      return other.kind === 'wait' ? Math.floor((other.until - opening) / 60_000) : -1;
    });
    // A hundred texts over ten minutes: no minute gets a third of them.
    for (let minute = 0; minute < 10; minute += 1) {
      expect(others.filter((one) => one === minute).length).toBeLessThan(33);
    }
  });

  test('a safety text goes at night, to a stopped number and into quiet', () => {
    const safety = {
      ...text,
      lane: 'safety' as const,
      is_number_stopped: true,
      quiet_until: new Date(midnight + 1),
    };
    expect(mayGo(safety, clinic, midnight)).toEqual({ kind: 'go' });
  });

  test('nothing goes after its time, nor waits for a moment after it', () => {
    const ended = { kind: 'end', state: 'dropped', why: 'its time had passed before it could go' };
    expect(mayGo({ ...text, expires_at: new Date(noon) }, clinic, noon)).toEqual(ended);
    expect(mayGo({ ...text, expires_at: new Date(midnight + 1) }, clinic, midnight)).toMatchObject({
      kind: 'end',
    });
    expect(mayGo({ ...text, lane: 'safety', expires_at: new Date(noon - 1) }, clinic, noon)).toEqual(ended);
  });

  test('a stopped number or child gets no check-in, a quiet one waits', () => {
    expect(mayGo({ ...text, is_number_stopped: true }, clinic, noon)).toMatchObject({ state: 'withdrawn' });
    expect(mayGo({ ...text, is_child_stopped: true }, clinic, noon)).toMatchObject({ state: 'withdrawn' });
    expect(mayGo({ ...text, quiet_until: new Date(noon + 5) }, clinic, noon)).toEqual({
      kind: 'wait',
      until: noon + 5,
    });
  });
});
