import { fillQueues } from './fill.js';
import type { Jobs } from './jobs.js';

/** What Redis remembers of its own filling; gone when Redis was emptied or is new. */
interface Filled {
  /** Everything due before this instant (ms, toeline's clock) has been put into the queues. */
  readonly until: number;
  /** When everything was last gone through from the beginning (ms, toeline's clock). */
  readonly wholeAt: number;
}

/** Everything is gone through again so often, whatever Redis says. */
const WHOLE_EVERY_MS = 3_600_000;
/** What is due within this time is looked at in every pass: a row whose job was never added is found here. */
const NEAR_MS = 30_000;

/**
 * Keeps the queues in step with PostgreSQL, which alone is the record. Redis carries a mark of how far it has been
 * filled; when the mark is gone, or the clock was turned back before it, everything pending is put in anew. Job ids come
 * from the rows, and a row leaves its waiting state in the transaction that does its work, so nothing is done twice.
 */
export async function keepQueuesFilled(
  jobs: Jobs,
): Promise<{ readonly isRebuilt: boolean; readonly jobs: number }> {
  const now = jobs.now();
  const until = now + jobs.options.horizonMs;
  const filled = await readMark(jobs);
  if (filled === null || filled.wholeAt > now || now - filled.wholeAt > WHOLE_EVERY_MS) {
    const count = await fillQueues(jobs, null, until);
    await writeMark(jobs, { until, wholeAt: now });
    return { isRebuilt: filled === null, jobs: count };
  }
  const near = await fillQueues(jobs, null, Math.min(now + NEAR_MS, filled.until));
  const fresh = filled.until < until ? await fillQueues(jobs, filled.until, until) : 0;
  if (filled.until < until) await writeMark(jobs, { ...filled, until });
  return { isRebuilt: false, jobs: near + fresh };
}

function keyOf(jobs: Jobs): string {
  return `${jobs.queues.prefix}:filled`;
}

async function readMark(jobs: Jobs): Promise<Filled | null> {
  const text = await jobs.queues.redis.get(keyOf(jobs));
  if (text === null) return null;
  const [until, wholeAt] = text.split(' ').map(Number);
  return until === undefined || wholeAt === undefined ? null : { until, wholeAt };
}

async function writeMark(jobs: Jobs, filled: Filled): Promise<void> {
  await jobs.queues.redis.set(keyOf(jobs), `${filled.until} ${filled.wholeAt}`);
}
