import { setTimeout as wait } from 'node:timers/promises';
import { sql } from 'kysely';
import type { Jobs } from '../../jobs/jobs.js';
import { QUEUES } from '../../jobs/queues.js';
import type { RunningWorker } from '../../jobs/worker.js';
import type { PretendNetworkClient } from '../../pretend-network/client.js';
import { moveClock } from '../../store/moved-clock.js';
import type { MovableClock } from '../clocks.js';

const SETTLE_PATIENCE_MS = 20_000;
/** A text may be held back by the hour or the day's budget; long enough to tell that from one on its way. */
const SHORT_PATIENCE_MS = 2_000;
const DAY_MS = 86_400_000;

/** Moves the demonstration through time: everything due on the way is done before the clock is let go. */
export class DemoTime {
  constructor(
    private readonly jobs: Jobs,
    private readonly worker: RunningWorker | null,
    private readonly clock: MovableClock,
    private readonly network: PretendNetworkClient,
  ) {}

  /** Moves the clock forward to an instant (ms), stopping at everything due in between. */
  async moveTo(instant: number): Promise<void> {
    for (;;) {
      // A day at most in one go: the planner writes down what comes after as it passes.
      const dayOn = Math.min(instant, this.clock.now() + DAY_MS);
      const next = (await this.nextDue(dayOn)) ?? dayOn;
      await this.#jump(next);
      if (next >= instant) break;
    }
  }

  /** The next instant (ms) after now at which something is due, or null when nothing is by `until`. */
  async nextDue(until: number): Promise<number | null> {
    const { rows } = await sql<{ due: Date | null }>`select min(due) as due from (
      select min(due_at) as due from planned_text where state = 'planned' and due_at > ${new Date(this.clock.now())}
      union all select min(wake_at) from conversation where wake_at > ${new Date(this.clock.now())}
      union all select min(greatest(not_before, coalesce(next_try_at, not_before))) from text_out
        where state in ('planned', 'queued') and not_before > ${new Date(this.clock.now())}
      union all select min(escalate_at) from flag where state <> 'closed' and escalate_at > ${new Date(this.clock.now())}
    ) as something`.execute(this.jobs.store.db);
    const due = rows[0]?.due?.getTime() ?? null;
    return due === null || due > until ? null : due;
  }

  async #jump(instant: number): Promise<void> {
    this.clock.moveTo(instant + 1);
    await moveClock(this.jobs.store, this.clock.shiftMs);
    await this.network.setAhead(this.clock.shiftMs);
    await this.worker?.planner.pass();
    await this.settle();
  }

  /** Resolves when nothing due is left undone: no job runs or waits, no text is unread, the network has told all. */
  async settle(): Promise<void> {
    const until = Date.now() + SETTLE_PATIENCE_MS;
    let calm = 0;
    while (calm < 2 && Date.now() < until) {
      calm = (await this.#isCalm(until - SETTLE_PATIENCE_MS + SHORT_PATIENCE_MS)) ? calm + 1 : 0;
      await wait(20);
    }
  }

  /** `shortUntil`: machine time (ms) after which texts that may rightly be held back are no longer waited for. */
  async #isCalm(shortUntil: number): Promise<boolean> {
    const { open } = await this.network.callbacks();
    if (open > 0) return false;
    for (const name of QUEUES) {
      const counts = await this.jobs.queues.of(name).getJobCounts('active', 'waiting', 'prioritized');
      if (Object.values(counts).some((count) => count > 0)) return false;
    }
    const now = new Date(this.clock.now());
    const { rows } = await sql<{ isBusy: boolean; isHeld: boolean }>`select
      exists (select from text_in where state = 'stored' and part_total is null)
        or exists (select from text_out where state = 'handed-over') as "isBusy",
      exists (select from planned_text where state = 'planned' and due_at <= ${now})
        or exists (select from text_out where state in ('planned', 'queued') and not_before <= ${now}
          and (next_try_at is null or next_try_at <= ${now}))
        or exists (select from text_out where state = 'accepted' and state_at > ${new Date(now.getTime() - SHORT_PATIENCE_MS)}) as "isHeld"`.execute(
      this.jobs.store.db,
    );
    const [row] = rows;
    return row?.isBusy !== true && (row?.isHeld !== true || Date.now() > shortUntil);
  }
}
