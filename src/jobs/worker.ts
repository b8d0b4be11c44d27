import { DelayedError, type Job, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import type { PlannedTextId, TextInId, TextOutId } from '../core/model/ids.js';
import { sendPlanned } from './check-in.js';
import { coalesce } from './coalesce.js';
import type { Jobs } from './jobs.js';
import { type Planner, startPlanner } from './planner.js';
import type { JobData, QueueName } from './queues.js';
import { read } from './read.js';
import { sender } from './send.js';
import { wake } from './wake.js';

export interface RunningWorker {
  readonly planner: Planner;
  /** Takes no more jobs, finishes those under way, lets go of Redis. */
  stop(): Promise<void>;
}

/** A job carries more while it waits for its slot: that it has one. */
interface SendData extends JobData {
  readonly hasSlot?: boolean;
}

/** Shorter waits are waited for in place. */
const WAIT_IN_PLACE_MS = 1_500;

/** Starts everything that works in the background: the planner and a worker for each queue. */
export function startWorker(jobs: Jobs, redisUrl: string): RunningWorker {
  // Workers wait for Redis to come back, however long it takes.
  const connection = new Redis(redisUrl, { maxRetriesPerRequest: null, enableAutoPipelining: true });
  connection.on('error', () => {});
  const begin = coalesce((ids: readonly PlannedTextId[]) => sendPlanned(jobs, ids), { most: 100, atOnce: 2 });
  const send = sender(jobs);
  const start = (
    name: QueueName,
    concurrency: number,
    work: (job: Job<SendData>, token: string) => Promise<void>,
  ) => startOne(jobs, connection, name, concurrency, work);

  const workers = [
    start('read', 10, async (job, token) => {
      await again(jobs, job, token, await read(jobs, job.data.id as TextInId));
    }),
    start('check-in', 100, async (job, token) => {
      await again(jobs, job, token, await begin(job.data.id as PlannedTextId));
    }),
    start('wake', 10, (job) => wake(jobs, job.data.id)),
    start('send-now', jobs.options.sendConcurrency, (job, token) => sendOne(jobs, send, job, token)),
    start('send', jobs.options.sendConcurrency, (job, token) => sendOne(jobs, send, job, token)),
  ];
  const planner = startPlanner(jobs);
  return {
    planner,
    stop: async () => {
      await planner.stop();
      await Promise.all(workers.map((worker) => worker.close()));
      connection.disconnect();
    },
  };
}

function startOne(
  jobs: Jobs,
  connection: Redis,
  name: QueueName,
  concurrency: number,
  work: (job: Job<SendData>, token: string) => Promise<void>,
): Worker<SendData> {
  const worker = new Worker<SendData>(
    name,
    async (job, token = '') => {
      // The clock was turned back, or the producer's was ahead: not yet.
      if (job.data.at > jobs.now() + 1_000) await again(jobs, job, token, job.data.at);
      await work(job, token);
    },
    { connection, prefix: jobs.queues.prefix, concurrency },
  );
  worker.on('error', (error) => jobs.note(`The worker of ${name} lost Redis; it waits for it.`, error));
  worker.on('failed', (_job, error) => {
    jobs.note(`A job of ${name} failed; its row stays and the next sweep finds it.`, error);
  });
  return worker;
}

/** Puts the job back until an instant on toeline's clock (ms); null: it is done. */
async function again(jobs: Jobs, job: Job<SendData>, token: string, until: number | null): Promise<void> {
  if (until === null) return;
  const afterMs = Math.max(1, until - jobs.now());
  if (until !== job.data.at) await job.updateData({ id: job.data.id, at: until });
  await job.moveToDelayed(Date.now() + afterMs, token);
  throw new DelayedError();
}

async function sendOne(
  jobs: Jobs,
  send: ReturnType<typeof sender>,
  job: Job<SendData>,
  token: string,
): Promise<void> {
  const id = job.data.id as TextOutId;
  let result = await send(id, job.data.hasSlot === true);
  if (result !== null && 'afterMs' in result && result.hasSlot && result.afterMs <= WAIT_IN_PLACE_MS) {
    const { afterMs } = result;
    await new Promise((resolve) => setTimeout(resolve, afterMs));
    result = await send(id, true);
  }
  if (result === null) return;
  if ('until' in result) return again(jobs, job, token, result.until);
  await job.updateData({ id, at: job.data.at, hasSlot: result.hasSlot });
  await job.moveToDelayed(Date.now() + Math.ceil(result.afterMs), token);
  throw new DelayedError();
}
