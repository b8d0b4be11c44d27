import type { Job } from 'bullmq';
import type { Jobs } from './jobs.js';
import { type JobData, QUEUES } from './queues.js';

const PAGE = 500;

/**
 * Sets every delayed job to its instant on toeline's clock, after that clock has been moved: BullMQ counts delays by
 * the machine's clock. What is due runs at once. Returns how many jobs were moved.
 */
export async function retime(jobs: Jobs): Promise<number> {
  let moved = 0;
  for (const name of QUEUES) {
    const queue = jobs.queues.of(name);
    const delayed: Job<JobData>[] = [];
    for (let start = 0; ; start += PAGE) {
      const page = await queue.getDelayed(start, start + PAGE - 1);
      delayed.push(...page.filter((job) => job !== undefined));
      if (page.length < PAGE) break;
    }
    const now = jobs.now();
    for (const job of delayed) moved += (await setDelay(job, Math.max(0, job.data.at - now))) ? 1 : 0;
  }
  return moved;
}

/** A job that began to run meanwhile needs no new time. */
async function setDelay(job: Job<JobData>, delayMs: number): Promise<boolean> {
  try {
    if (delayMs === 0) await job.promote();
    else await job.changeDelay(delayMs);
    return true;
  } catch {
    return false;
  }
}
