import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  afterHandOver,
  afterSend,
  BREAKER_LIMITS,
  type Breaker,
  HEALTHY,
  mayCarry,
} from '../../../src/core/texts/breaker.js';
import { chooseRoute, type Route } from '../../../src/core/texts/route.js';

const route = (gateway: string, prices: Record<string, number>, more: Partial<Route> = {}): Route => ({
  gateway,
  prices,
  breaker: HEALTHY,
  partsLeftToday: null,
  ...more,
});
const text = { to: '+254700000001', body: 'hello', isSafety: false };
const failed = { type: 'failed' } as const;
const failTimes = (times: number, from: Breaker = HEALTHY) =>
  Array.from({ length: times }).reduce<Breaker>((breaker) => afterSend(breaker, failed, 0), from);

describe('choosing a gateway', () => {
  test('takes the cheapest by the longest prefix of the number', () => {
    const routes = [
      route('world', { '+': 5 }),
      route('kenya', { '+254': 1 }),
      route('modem', { '+2547': 0.5, '+1': 9 }),
    ];
    expect(chooseRoute(text, routes, 0).gateways).toEqual(['modem', 'kenya', 'world']);
    expect(chooseRoute({ ...text, to: '+919000000001' }, routes, 0)).toMatchObject({
      gateways: ['world'],
      leftOut: { kenya: 'no-prefix', modem: 'no-prefix' },
    });
  });

  test('counts the parts each gateway would bill', () => {
    const turkish = { ...text, body: 'ğ'.repeat(100) };
    const routes = [
      route('cheap', { '+': 1 }),
      route('with tables', { '+': 1.5 }, { alphabets: { shifts: [{ locking: 1, single: 1 }] } }),
    ];
    expect(chooseRoute(turkish, routes, 0).gateways).toEqual(['with tables', 'cheap']);
  });

  test('leaves out what is unwell and says when to ask again', () => {
    const open: Breaker = { state: 'open', retryAt: 5_000, waitMs: 5_000 };
    const routes = [route('one', { '+': 1 }, { breaker: open }), route('two', { '+': 2 })];
    expect(chooseRoute(text, routes, 0)).toEqual({
      gateways: ['two'],
      leftOut: { one: 'unwell' },
      tryAgainAt: 5_000,
    });
    expect(chooseRoute(text, routes, 5_000).gateways).toEqual(['one', 'two']);
  });

  test('holds a reminder back when the day’s budget is spent, never a safety text', () => {
    const routes = [route('one', { '+': 1 }, { partsLeftToday: 0 })];
    expect(chooseRoute(text, routes, 0)).toMatchObject({ gateways: [], leftOut: { one: 'budget-spent' } });
    expect(chooseRoute({ ...text, isSafety: true }, routes, 0).gateways).toEqual(['one']);
  });

  test('does not ask a gateway again that has refused this text', () => {
    const routes = [route('one', { '+': 1 }), route('two', { '+': 2 })];
    expect(chooseRoute({ ...text, tried: ['one'] }, routes, 0).gateways).toEqual(['two']);
  });

  test('names every gateway once, as a choice or as left out', () => {
    const routes = fc.uniqueArray(
      fc.record({
        gateway: fc.constantFrom('a', 'b', 'c', 'd'),
        prefix: fc.constantFrom('+', '+254', '+91'),
        price: fc.integer({ min: 0, max: 5 }),
        partsLeftToday: fc.option(fc.nat({ max: 2 })),
        isOpen: fc.boolean(),
      }),
      { selector: (one) => one.gateway },
    );
    fc.assert(
      fc.property(routes, fc.boolean(), (raw, isSafety) => {
        const all = raw.map((one) =>
          route(
            one.gateway,
            { [one.prefix]: one.price },
            {
              partsLeftToday: one.partsLeftToday,
              breaker: one.isOpen ? { state: 'open', retryAt: 10, waitMs: 10 } : HEALTHY,
            },
          ),
        );
        const choice = chooseRoute({ ...text, isSafety }, all, 0);
        const named = [...choice.gateways, ...Object.keys(choice.leftOut)];
        expect(named.sort()).toEqual(all.map((one) => one.gateway).sort());
      }),
    );
  });
});

describe('the circuit breaker', () => {
  test('opens after failures in a row, lets one text try, and closes when it passes', () => {
    const almost = failTimes(BREAKER_LIMITS.failuresToOpen - 1);
    expect(mayCarry(almost, 0)).toBe(true);
    const open = failTimes(1, almost);
    expect(open).toMatchObject({ state: 'open', retryAt: 30_000 });
    expect(mayCarry(open, 29_999)).toBe(false);
    const trying = afterHandOver(open, 30_000);
    expect(mayCarry(trying, 30_000)).toBe(false);
    expect(mayCarry(trying, 60_000), 'the worker that tried has died').toBe(true);
    expect(afterSend(trying, { type: 'worked' }, 30_001)).toEqual(HEALTHY);
    expect(afterSend(trying, failed, 30_000)).toMatchObject({
      state: 'open',
      retryAt: 90_000,
      waitMs: 60_000,
    });
  });

  test('a failure among successes does not add up', () => {
    const breaker = afterSend(failTimes(4), { type: 'worked' }, 0);
    expect(failTimes(4, breaker).state).toBe('closed');
  });

  test('opens at once when only a person can help, and waits as long as it was asked to', () => {
    expect(afterSend(HEALTHY, { type: 'out-of-order' }, 0)).toMatchObject({ retryAt: 600_000 });
    const asked = afterSend(failTimes(4), { type: 'failed', retryAfterSeconds: 120 }, 0);
    expect(asked).toMatchObject({ state: 'open', retryAt: 120_000 });
  });
});
