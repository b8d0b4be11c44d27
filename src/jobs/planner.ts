import { randomUUID } from 'node:crypto';
import type { Jobs } from './jobs.js';
import { retime } from './retime.js';
import { sweep } from './sweep.js';

export interface Planner {
  /** Runs a pass now, after the one under way if there is one; resolves when it is done. */
  pass(): Promise<void>;
  /** Ends the timer and waits for a pass under way. */
  stop(): Promise<void>;
}

/** A planner that died in a pass leaves its lock for at most so long. A longer pass may overlap another's. */
const LOCK_MS = 10_000;

/**
 * Sweeps every `sweepEveryMs`, from a timer of this process and not from a job in Redis: an emptied Redis must not
 * stop the one who fills it. Of several processes one sweeps at a time, as far as Redis can tell them; two at once
 * would do no harm. When toeline's clock was moved, waiting jobs are set to their instants first.
 */
export function startPlanner(jobs: Jobs): Planner {
  let running: Promise<void> = Promise.resolve();
  let shift = shiftOf(jobs);
  let isStopped = false;

  const once = async (): Promise<void> => {
    if (isStopped) return;
    const moved = shiftOf(jobs);
    if (Math.abs(moved - shift) > 1_000) {
      shift = moved;
      await retime(jobs);
    }
    await sweep(jobs);
  };
  const locked = async (isAsked: boolean): Promise<void> => {
    const mine = randomUUID();
    const key = `${jobs.queues.prefix}:sweeping`;
    try {
      await jobs.queues.ready();
      const lockMs = Math.min(LOCK_MS, 4 * jobs.options.sweepEveryMs);
      const got = await jobs.queues.redis.set(key, mine, 'PX', lockMs, 'NX');
      if (got === null && !isAsked) return;
      await once();
      if ((await jobs.queues.redis.get(key)) === mine) await jobs.queues.redis.del(key);
    } catch (error) {
      jobs.note('The planner could not sweep; it tries again in the next pass.', error);
    }
  };
  const pass = (isAsked: boolean): Promise<void> => {
    running = running.then(() => locked(isAsked));
    return running;
  };

  void pass(false);
  const timer = setInterval(() => void pass(false), jobs.options.sweepEveryMs);
  return {
    pass: () => pass(true),
    stop: async () => {
      isStopped = true;
      clearInterval(timer);
      await running;
    },
  };
}

function shiftOf(jobs: Jobs): number {
  return jobs.now() - Date.now();
}
