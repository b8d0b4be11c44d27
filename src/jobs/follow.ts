import { markQueued, type Waiting } from '../store/outbox.js';
import type { Follow } from './effects.js';
import type { Jobs } from './jobs.js';
import { checkInJob, type QueueJob, type QueueName, readJob, sendJob, wakeJob } from './queues.js';

/**
 * Tells the queues what a transaction left to be done, as far as it lies within the horizon. The rows stand already:
 * when Redis cannot be told, the next sweep of the planner finds them, so this never fails.
 */
export async function tellQueues(
  jobs: Jobs,
  follow: Partial<Follow> & { readonly reads?: readonly string[] },
): Promise<void> {
  const now = jobs.now();
  const soon = ({ at }: { readonly at: number }) => at < now + jobs.options.horizonMs;
  const sends = (follow.sends ?? []).filter(soon);
  try {
    await Promise.all([
      ...sendsByQueue(sends).map(([queue, list]) => jobs.queues.add(queue, list, now)),
      jobs.queues.add('check-in', (follow.planned ?? []).filter(soon).map(checkInJob), now),
      jobs.queues.add('wake', (follow.wakes ?? []).filter(soon).map(wakeJob), now),
      jobs.queues.add(
        'read',
        (follow.reads ?? []).map((id) => readJob(id, now)),
        now,
      ),
    ]);
    await markQueued(
      jobs.store,
      sends.map(({ id }) => id),
      now,
    );
  } catch (error) {
    jobs.note('The queue could not be told of new work; the next sweep will find it.', error);
  }
}

export function sendsByQueue(sends: readonly Waiting[]): [QueueName, QueueJob[]][] {
  const lists = new Map<QueueName, QueueJob[]>();
  for (const send of sends) {
    const { queue, job } = sendJob(send);
    const list = lists.get(queue);
    if (list === undefined) lists.set(queue, [job]);
    else list.push(job);
  }
  return [...lists];
}
