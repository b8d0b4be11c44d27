import type { Gateway } from '../gateways/gateway.js';
import type { Store } from '../store/store.js';
import type { Core } from './core.js';
import type { Queues } from './queues.js';

/** Chooses the way a text goes. */
export interface Ways {
  /** The gateway for a number, or null when none can take it now. */
  choose(to: string): Gateway | null;
  byName(name: string): Gateway | null;
  /** Told how each hand-over went, so that a gateway in trouble can be avoided. */
  went?(name: string, kind: 'accepted' | 'refused' | 'unknown'): void;
}

export interface JobsOptions {
  /** Texts due within this time stand in Redis, in ms; default 48 h. */
  readonly horizonMs: number;
  /** Texts of the course are written down this far ahead, in ms; default 14 days. At least twice the horizon. */
  readonly aheadMs: number;
  /** Between two passes of the planner, in ms; default 15 s. */
  readonly sweepEveryMs: number;
  /** A gateway must have answered after this time, in ms; default 30 s. Shorter than `settleAfterMs`. */
  readonly gatewayTimeoutMs: number;
  /** A hand-over without an answer is settled after this time, in ms; default 120 s. */
  readonly settleAfterMs: number;
  /** A text that could not be read so often is left to a person; default 3. */
  readonly readAttempts: number;
  /** A text is handed over at most so often; default 5. */
  readonly sendAttempts: number;
  /** Texts one worker has under way at once; default 100. */
  readonly sendConcurrency: number;
}

export const DEFAULT_OPTIONS: JobsOptions = {
  horizonMs: 48 * 3_600_000,
  aheadMs: 14 * 86_400_000,
  sweepEveryMs: 15_000,
  gatewayTimeoutMs: 30_000,
  settleAfterMs: 120_000,
  readAttempts: 3,
  sendAttempts: 5,
  sendConcurrency: 100,
};

/** Everything the jobs work with, joined in the composition root. */
export interface Jobs {
  readonly store: Store;
  readonly core: Core;
  readonly queues: Queues;
  readonly ways: Ways;
  /** toeline's clock in ms; a demonstration may have moved it. */
  readonly now: () => number;
  readonly options: JobsOptions;
  /** Told of what an operator should know. No numbers, no words of families. */
  readonly note: (words: string, error?: unknown) => void;
}
