import { afterHandOver, afterSend, type Breaker, HEALTHY, type Outcome } from '../core/texts/breaker.js';
import { chooseRoute } from '../core/texts/route.js';
import type { Gateway } from '../gateways/gateway.js';
import type { Ways } from '../jobs/jobs.js';

/** How one gateway is preferred: what a part costs by number prefix, and its place among equals. */
export interface WaySettings {
  readonly gateway: string;
  readonly prices: Readonly<Record<string, number>>;
  readonly order: number;
}

/** A way that takes every number at no stated cost. */
export const ANY_NUMBER: Readonly<Record<string, number>> = { '+': 0 };

/**
 * Chooses among the open gateways by prefix, cost and health. Health is this process's own: each worker finds out for
 * itself, which costs a few texts a worker and needs nothing shared.
 */
export function waysOver(
  gateways: ReadonlyMap<string, Gateway>,
  settings: readonly WaySettings[],
  wallNow: () => number,
): Ways {
  const breakers = new Map<string, Breaker>();
  const breakerOf = (name: string) => breakers.get(name) ?? HEALTHY;
  return {
    choose(to) {
      const routes = settings.map((way) => ({
        ...way,
        breaker: breakerOf(way.gateway),
        partsLeftToday: null,
      }));
      const [first] = chooseRoute({ to, body: '', isSafety: true }, routes, wallNow()).gateways;
      if (first === undefined) return null;
      breakers.set(first, afterHandOver(breakerOf(first), wallNow()));
      return gateways.get(first) ?? null;
    },
    byName: (name) => gateways.get(name) ?? null,
    went(name, kind) {
      const outcome: Outcome = kind === 'unknown' ? { type: 'failed' } : { type: 'worked' };
      breakers.set(name, afterSend(breakerOf(name), outcome, wallNow()));
    },
  };
}
