/**
 * The health of one gateway, as data, so that it can be stored, shared by workers and tested without waiting.
 * `closed`: texts flow. `open`: none, until `retryAt`. `trying`: one text is out to see whether it works again; should its
 * answer never be recorded (the worker died), another may try from `retryAt`.
 */
export type Breaker =
  | { readonly state: 'closed'; readonly failures: number }
  | { readonly state: 'open'; readonly retryAt: number; readonly waitMs: number }
  | { readonly state: 'trying'; readonly retryAt: number; readonly waitMs: number };

export interface BreakerLimits {
  /** Failures in a row that open it. */
  readonly failuresToOpen: number;
  readonly firstWaitMs: number;
  readonly longestWaitMs: number;
}

/** Common practice, no source: five failures in a row, then half a minute doubling to ten minutes. */
export const BREAKER_LIMITS: BreakerLimits = {
  failuresToOpen: 5,
  firstWaitMs: 30_000,
  longestWaitMs: 600_000,
};

export const HEALTHY: Breaker = { state: 'closed', failures: 0 };

/**
 * What a send said about the gateway, not about the text: a wrong number proves that the gateway works.
 * `worked`: accepted, or refused for a reason of the text. `failed`: no answer, out of order, or it says try later.
 */
export type Outcome =
  | { readonly type: 'worked' }
  | { readonly type: 'failed'; readonly retryAfterSeconds?: number }
  /** Nothing sent by this gateway will pass until a person acts: out of credit, credentials refused. */
  | { readonly type: 'out-of-order' };

/** Claims that a text may be handed to this gateway at this instant (ms). */
export function mayCarry(breaker: Breaker, nowMs: number): boolean {
  if (breaker.state === 'closed') return true;
  return breaker.retryAt <= nowMs;
}

/** The breaker once a text has been handed over: an open one whose time has come lets just this text try. Pure. */
export function afterHandOver(breaker: Breaker, nowMs: number): Breaker {
  if (breaker.state === 'closed' || breaker.retryAt > nowMs) return breaker;
  return { state: 'trying', retryAt: nowMs + breaker.waitMs, waitMs: breaker.waitMs };
}

/** The breaker after a send has ended. Pure. */
export function afterSend(
  breaker: Breaker,
  outcome: Outcome,
  nowMs: number,
  limits: BreakerLimits = BREAKER_LIMITS,
): Breaker {
  if (outcome.type === 'worked') return HEALTHY;
  if (outcome.type === 'out-of-order') return opened(limits.longestWaitMs, nowMs, limits);
  const asked = (outcome.retryAfterSeconds ?? 0) * 1_000;
  if (breaker.state === 'trying') return opened(Math.max(breaker.waitMs * 2, asked), nowMs, limits);
  /* A send begun before it opened: it adds nothing. */
  if (breaker.state === 'open') return breaker;
  const failures = breaker.failures + 1;
  if (failures < limits.failuresToOpen) return { state: 'closed', failures };
  return opened(Math.max(limits.firstWaitMs, asked), nowMs, limits);
}

function opened(waitMs: number, nowMs: number, limits: BreakerLimits): Breaker {
  const wait = Math.min(waitMs, limits.longestWaitMs);
  return { state: 'open', retryAt: nowMs + wait, waitMs: wait };
}
