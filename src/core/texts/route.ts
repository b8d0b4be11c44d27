import { type Breaker, mayCarry } from './breaker.js';
import { type SegmentOptions, segments } from './segments.js';

/** A gateway as the routing sees it. */
export interface Route {
  /** The gateway's name. */
  readonly gateway: string;
  /** Price of one part by the longest matching number prefix; a gateway carries only prefixes listed here. */
  readonly prices: Readonly<Record<string, number>>;
  /** Smaller goes first among equals in cost. Default 0. */
  readonly order?: number;
  readonly breaker: Breaker;
  /** Parts it may still take today; null: no budget set. */
  readonly partsLeftToday: number | null;
  readonly alphabets?: SegmentOptions;
}

export interface RouteWanted {
  /** E.164 with the plus sign. */
  readonly to: string;
  readonly body: string;
  /** A safety text may go over the day's budget: it is not held back for money. */
  readonly isSafety: boolean;
  /** Gateways that have refused this very text for a reason of their own; not asked again. */
  readonly tried?: readonly string[];
}

export interface RouteChoice {
  /** Gateways to try, best first. */
  readonly gateways: readonly string[];
  /** Why each of the others is left out, for the text's record. */
  readonly leftOut: Readonly<Record<string, 'no-prefix' | 'unwell' | 'budget-spent' | 'tried'>>;
  /** When an unwell gateway may be asked again, ms; null when waiting changes nothing. */
  readonly tryAgainAt: number | null;
}

/**
 * Which gateways may carry a text, cheapest first: by the longest prefix that matches the number, the price of the
 * text's parts, and health. Only outbound is routed; what comes in is taken from every gateway. Pure.
 *
 * @example the price list `{ '+254': 0.8, '+': 3 }` sends Kenyan numbers at 0.8 a part and all others at 3
 */
export function chooseRoute(wanted: RouteWanted, routes: readonly Route[], nowMs: number): RouteChoice {
  const leftOut: Record<string, 'no-prefix' | 'unwell' | 'budget-spent' | 'tried'> = {};
  const able: { route: Route; cost: number }[] = [];
  let tryAgainAt: number | null = null;
  for (const route of routes) {
    const price = priceFor(wanted.to, route.prices);
    const parts = segments(wanted.body, route.alphabets).parts.length;
    if (price === undefined) leftOut[route.gateway] = 'no-prefix';
    else if (wanted.tried?.includes(route.gateway)) leftOut[route.gateway] = 'tried';
    else if (!wanted.isSafety && route.partsLeftToday !== null && route.partsLeftToday < parts) {
      leftOut[route.gateway] = 'budget-spent';
    } else if (!mayCarry(route.breaker, nowMs)) {
      leftOut[route.gateway] = 'unwell';
      const at = route.breaker.state === 'closed' ? nowMs : route.breaker.retryAt;
      tryAgainAt = Math.min(tryAgainAt ?? Number.POSITIVE_INFINITY, at);
    } else able.push({ route, cost: price * parts });
  }
  able.sort(
    (one, other) =>
      one.cost - other.cost ||
      (one.route.order ?? 0) - (other.route.order ?? 0) ||
      one.route.gateway.localeCompare(other.route.gateway, 'en'),
  );
  return { gateways: able.map((one) => one.route.gateway), leftOut, tryAgainAt };
}

/** The price a part by the longest prefix that begins the number; undefined when none does. */
export function priceFor(to: string, prices: Readonly<Record<string, number>>): number | undefined {
  let best: string | undefined;
  for (const prefix of Object.keys(prices)) {
    if (to.startsWith(prefix) && prefix.length > (best?.length ?? -1)) best = prefix;
  }
  return best === undefined ? undefined : prices[best];
}
