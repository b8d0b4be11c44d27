import { type JobsOptions, Queue } from 'bullmq';
import { Redis } from 'ioredis';
import type { Lane } from '../core/model/texts.js';

/**
 * The queues, one per kind of work so that none waits behind another. `send-now` carries what a family waits for,
 * `send` everything that may wait.
 */
export const QUEUES = ['read', 'check-in', 'wake', 'send-now', 'send'] as const;
export type QueueName = (typeof QUEUES)[number];

/** What a job carries: the row it is about, and the instant (ms, on toeline's clock) before which it must not run. */
export interface JobData {
  readonly id: string;
  readonly at: number;
}

export interface QueueJob extends JobData {
  /** Deterministic, so that adding twice is one job; BullMQ allows neither a colon nor a bare number. */
  readonly jobId: string;
  /** 1 goes first. */
  readonly priority?: number;
}

export interface QueuesOptions {
  readonly redisUrl: string;
  /** Keeps several toelines apart in one Redis; default `toeline`. */
  readonly prefix?: string;
}

export interface Queues {
  readonly prefix: string;
  readonly redis: Redis;
  of(name: QueueName): Queue<JobData>;
  /** Resolves once Redis answers; rejects when it does not within two seconds. */
  ready(): Promise<void>;
  /** Adds jobs that run at their instant; those already there stay as they are. Rejects without Redis. */
  add(name: QueueName, jobs: readonly QueueJob[], now: number): Promise<void>;
  close(): Promise<void>;
}

/** Jobs leave nothing behind: PostgreSQL keeps what happened, and an id must be free to be used again. */
const LEAVES_NOTHING: JobsOptions = { removeOnComplete: true, removeOnFail: true };

/**
 * Opens the producers' side. It fails fast when Redis is down: the row in PostgreSQL stays, and the next sweep finds
 * it. Workers have connections of their own that wait.
 */
export function openQueues(options: QueuesOptions): Queues {
  const prefix = options.prefix ?? 'toeline';
  const redis = new Redis(options.redisUrl, {
    enableOfflineQueue: false,
    maxRetriesPerRequest: 1,
    connectTimeout: 5_000,
    retryStrategy: (times) => Math.min(times * 100, 2_000),
  });
  // Said by whoever needs Redis at that moment; a broken idle connection is no news.
  redis.on('error', () => {});
  const ready = readiness(redis);
  const queues = new Map(QUEUES.map((name) => [name, openQueue(name, redis, prefix)]));
  const of = (name: QueueName): Queue<JobData> => {
    const queue = queues.get(name);
    if (queue === undefined) throw new Error(`There is no queue ${name}.`);
    return queue;
  };
  return {
    prefix,
    redis,
    of,
    ready,
    add: async (name, jobs, now) => {
      if (jobs.length === 0) return;
      await ready();
      await addJobs(of(name), jobs, now);
    },
    close: async () => {
      await Promise.all([...queues.values()].map((queue) => queue.close()));
      redis.disconnect();
    },
  };
}

const READY_WITHIN_MS = 2_000;

/** One wait for all who ask meanwhile: during an outage that is every text that arrives. */
function readiness(redis: Redis): () => Promise<void> {
  let waiting: Promise<void> | null = null;
  return async () => {
    if (redis.status === 'ready') return;
    waiting ??= untilReady(redis).finally(() => {
      waiting = null;
    });
    await waiting;
  };
}

function untilReady(redis: Redis): Promise<void> {
  return new Promise((resolve, reject) => {
    const onReady = () => {
      clearTimeout(timer);
      resolve();
    };
    const timer = setTimeout(() => {
      redis.off('ready', onReady);
      reject(new Error('Redis does not answer.'));
    }, READY_WITHIN_MS);
    redis.once('ready', onReady);
  });
}

function openQueue(name: QueueName, connection: Redis, prefix: string): Queue<JobData> {
  const queue = new Queue<JobData>(name, {
    connection,
    prefix,
    defaultJobOptions: LEAVES_NOTHING,
    streams: { events: { maxLen: 100 } },
  });
  queue.on('error', () => {});
  return queue;
}

async function addJobs(queue: Queue<JobData>, jobs: readonly QueueJob[], now: number): Promise<void> {
  await queue.addBulk(
    jobs.map(({ id, at, jobId, priority }) => ({
      name: queue.name,
      data: { id, at },
      opts: {
        jobId,
        delay: Math.max(0, Math.ceil(at - now)),
        ...(priority === undefined ? {} : { priority }),
      },
    })),
  );
}

/** The job that sends a text. */
export function sendJob(text: { readonly id: string; readonly lane: Lane; readonly at: number }): {
  readonly queue: QueueName;
  readonly job: QueueJob;
} {
  const job = { id: text.id, at: text.at, jobId: `text-${text.id}` };
  if (text.lane === 'safety') return { queue: 'send-now', job: { ...job, priority: 1 } };
  if (text.lane === 'answer') return { queue: 'send-now', job: { ...job, priority: 2 } };
  return { queue: 'send', job: { ...job, priority: text.lane === 'visit' ? 1 : 2 } };
}

/** The job of a planned text. The instant is part of its name: a text that was moved gets a job of its own. */
export function checkInJob(planned: JobData): QueueJob {
  return { id: planned.id, at: planned.at, jobId: `planned-${planned.id}-${planned.at.toString(36)}` };
}

export function wakeJob(wake: JobData): QueueJob {
  return { id: wake.id, at: wake.at, jobId: `wake-${wake.id}-${wake.at.toString(36)}` };
}

export function readJob(textInId: string, at: number): QueueJob {
  return { id: textInId, at, jobId: `read-${textInId}` };
}
