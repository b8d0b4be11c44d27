import { randomBytes } from 'node:crypto';
import { afterEach, expect, inject } from 'vitest';
import type {
  DeliveryReport,
  Gateway,
  OutboundText,
  ProviderList,
  SendResult,
} from '../../src/gateways/gateway.js';
import type { Core } from '../../src/jobs/core.js';
import { DEFAULT_OPTIONS, type Jobs, type JobsOptions } from '../../src/jobs/jobs.js';
import { openQueues } from '../../src/jobs/queues.js';
import { type RunningWorker, startWorker } from '../../src/jobs/worker.js';
import type { Store } from '../../src/store/store.js';
import { realCore } from './core.js';
import { TUESDAY_NINE } from './family.js';

/** A gateway whose far side is the test: keeps what it was given and answers as it is told to. */
export class FarSide implements Gateway {
  readonly kind = 'far-side';
  readonly sent: OutboundText[] = [];
  /** Answers in turn; after the last, texts are accepted. */
  readonly answers: ((text: OutboundText) => SendResult | Promise<SendResult>)[] = [];
  /** What its own list shows; null: it cannot be asked. */
  listed: ProviderList['sent'] | null = null;

  constructor(readonly name = 'far-side') {}

  async send(text: OutboundText): Promise<SendResult> {
    this.sent.push(text);
    const answer = this.answers.shift();
    return answer === undefined ? { kind: 'accepted', providerId: `far-${text.id}` } : answer(text);
  }

  async list(): Promise<ProviderList> {
    if (this.listed === null) throw new Error('this gateway keeps no list');
    return { sent: this.listed, received: [] };
  }

  reportOf(text: OutboundText, state: DeliveryReport['state']): DeliveryReport {
    return { providerId: `far-${text.id}`, ourId: text.id, state, raw: '' };
  }

  async close(): Promise<void> {}
}

export interface TestJobs {
  readonly jobs: Jobs;
  readonly far: FarSide;
  /** toeline's clock stands still until it is moved; ms. */
  setClock(ms: number): void;
  moveClock(byMs: number): void;
  start(): RunningWorker;
  readonly notes: string[];
}

const toClose: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of toClose.splice(0).reverse()) await close();
});

/** Jobs on the file's store and a corner of Redis of their own, with a clock the test holds. */
export function testJobs(
  store: Store,
  change: Partial<JobsOptions> & { core?: Core; prefix?: string } = {},
): TestJobs {
  const { core, prefix, ...options } = change;
  const far = new FarSide();
  const notes: string[] = [];
  let now = TUESDAY_NINE;
  const queues = openQueues({
    redisUrl: inject('redisUrl'),
    prefix: prefix ?? `test-${randomBytes(6).toString('hex')}`,
  });
  const jobs: Jobs = {
    store,
    core: core ?? realCore(),
    queues,
    ways: { choose: () => far, byName: (name) => (name === far.name ? far : null) },
    now: () => now,
    options: { ...DEFAULT_OPTIONS, sweepEveryMs: 60_000_000, ...options },
    note: (words, error) => notes.push(`${words} ${error instanceof Error ? error.message : (error ?? '')}`),
  };
  toClose.push(async () => {
    const keys = await queues.redis.keys(`${queues.prefix}:*`);
    if (keys.length > 0) await queues.redis.del(keys);
    await queues.close();
  });
  return {
    jobs,
    far,
    notes,
    setClock: (ms) => {
      now = ms;
    },
    moveClock: (byMs) => {
      now += byMs;
    },
    start: () => {
      const worker = startWorker(jobs, inject('redisUrl'));
      toClose.push(() => worker.stop());
      return worker;
    },
  };
}

/** Waits until the check passes; its last failure is the test's. */
export async function eventually(check: () => Promise<void> | void, withinMs = 10_000): Promise<void> {
  const end = Date.now() + withinMs;
  for (;;) {
    try {
      await check();
      return;
    } catch (error) {
      if (Date.now() > end) throw error;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  }
}

/** Waits until nothing is waiting or running in the queues and nothing is due at the clock's instant. */
export async function quiet({ jobs }: TestJobs): Promise<void> {
  await eventually(async () => {
    for (const name of ['read', 'check-in', 'wake', 'send-now', 'send'] as const) {
      const counts = await jobs.queues.of(name).getJobCounts('waiting', 'active', 'prioritized');
      expect({ name, ...counts }).toEqual({ name, waiting: 0, active: 0, prioritized: 0 });
    }
  });
}
