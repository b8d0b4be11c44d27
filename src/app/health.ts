import { sql } from 'kysely';
import type { Jobs } from '../jobs/jobs.js';
import type { HealthLine } from '../web/deps.js';

/** Whether this process can do its work: the record and the queues answer. */
export async function healthOf(jobs: Jobs): Promise<readonly HealthLine[]> {
  return Promise.all([
    one('record', async () => {
      await sql`select 1`.execute(jobs.store.db);
    }),
    one('queues', async () => {
      await jobs.queues.redis.ping();
    }),
  ]);
}

async function one(part: string, ask: () => Promise<void>): Promise<HealthLine> {
  try {
    await ask();
    return { part, isWell: true, words: 'answers' };
  } catch (error) {
    return { part, isWell: false, words: (error as Error).message };
  }
}
