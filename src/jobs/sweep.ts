import { unreadTexts } from '../store/inbox.js';
import { joinStoredParts, overdueParts } from '../store/parts.js';
import { planNextChildren } from '../store/planned.js';
import { matchCrossedReports } from '../store/reports.js';
import { careForFailed } from './care.js';
import { escalate } from './escalate.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import { keepQueuesFilled } from './rebuild.js';
import { settleHandOvers } from './settle.js';
import { tellClosed } from './tell-closed.js';

/** Children planned in one transaction. */
const CHILDREN_AT_ONCE = 500;
/** A text from a family waits so long for its own job before the sweep adds another. */
const UNREAD_MS = 5_000;

/** Writes down the texts of children whose plan runs out; several planners at once share the children. */
export async function planChildren(jobs: Jobs): Promise<number> {
  const { aheadMs } = jobs.options;
  let count = 0;
  for (;;) {
    const now = jobs.now();
    const horizon = {
      now,
      aheadMs,
      plan: jobs.core.planCourse,
      limit: CHILDREN_AT_ONCE,
    };
    const planned = await planNextChildren(jobs.store, horizon);
    count += planned;
    if (planned < CHILDREN_AT_ONCE) return count;
  }
}

/**
 * One pass over everything that might have been left lying: plans, queues, texts nobody has read, parts of long
 * texts, hand-overs without an answer, failures, flags nobody has taken. Each is looked at even if another fails.
 */
export async function sweep(jobs: Jobs): Promise<void> {
  await each(jobs, [
    ['plan children', () => planChildren(jobs)],
    ['keep the queues filled', () => keepQueuesFilled(jobs)],
    ['find texts nobody has read', () => findUnread(jobs)],
    ['join parts of long texts', () => joinOverdue(jobs)],
    ['match delivery reports', () => matchCrossedReports(jobs.store, jobs.now())],
    ['settle hand-overs', () => settleHandOvers(jobs)],
    ['see to failed texts', () => careForFailed(jobs)],
    ['tell those on call', () => escalate(jobs)],
    ['tell families what became of it', () => tellClosed(jobs)],
  ]);
}

async function each(jobs: Jobs, works: readonly [string, () => Promise<unknown>][]): Promise<void> {
  for (const [what, work] of works) {
    try {
      await work();
    } catch (error) {
      jobs.note(`The sweep could not ${what}; it tries again in the next pass.`, error);
    }
  }
}

async function findUnread(jobs: Jobs): Promise<void> {
  const texts = await unreadTexts(jobs.store, jobs.now() - UNREAD_MS, 1_000);
  await tellQueues(jobs, { reads: texts.map(({ id }) => id) });
}

async function joinOverdue(jobs: Jobs): Promise<void> {
  const reads: string[] = [];
  for (const whole of await overdueParts(jobs.store, jobs.now())) {
    reads.push(...(await joinStoredParts(jobs.store, whole, jobs.now())));
  }
  await tellQueues(jobs, { reads });
}
