import { wakesDue } from '../store/conversations.js';
import { markQueued, textsToQueue } from '../store/outbox.js';
import { type DueCursor, plannedDue } from '../store/planned.js';
import { sendsByQueue } from './follow.js';
import type { Jobs } from './jobs.js';
import { checkInJob, wakeJob } from './queues.js';

/** Rows read, and jobs added, at a time. */
const PAGE = 2_000;

/**
 * Puts everything due between two instants (ms) into the queues, page by page. Job ids are made from the rows, so what
 * stands there already stays as it is: filling twice, or by two processes at once, is filling once.
 */
export async function fillQueues(jobs: Jobs, from: number | null, before: number): Promise<number> {
  const planned = await fillPlanned(jobs, from, before);
  const texts = await fillTexts(jobs, from, before);
  const wakes = await wakesDue(jobs.store, before, 10 * PAGE);
  await jobs.queues.add('wake', wakes.map(wakeJob), jobs.now());
  return planned + texts + wakes.length;
}

const LOWEST_ID = '00000000-0000-0000-0000-000000000000';

function startAt(from: number | null): DueCursor | null {
  return from === null ? null : { at: from, id: LOWEST_ID };
}

async function fillPlanned(jobs: Jobs, from: number | null, before: number): Promise<number> {
  let count = 0;
  for (let after = startAt(from); ; ) {
    const page = await plannedDue(jobs.store, before, after, PAGE);
    await jobs.queues.add('check-in', page.map(checkInJob), jobs.now());
    count += page.length;
    const last = page.at(-1);
    if (last === undefined || page.length < PAGE) return count;
    after = last;
  }
}

async function fillTexts(jobs: Jobs, from: number | null, before: number): Promise<number> {
  let count = 0;
  for (let after = startAt(from); ; ) {
    const page = await textsToQueue(jobs.store, before, after, PAGE);
    const now = jobs.now();
    await Promise.all(sendsByQueue(page).map(([queue, list]) => jobs.queues.add(queue, list, now)));
    // After Redis has them: a crash in between leaves them `planned`, and they are added again.
    await markQueued(
      jobs.store,
      page.filter(({ state }) => state === 'planned').map(({ id }) => id),
      now,
    );
    count += page.length;
    const last = page.at(-1);
    if (last === undefined || page.length < PAGE) return count;
    after = last;
  }
}
