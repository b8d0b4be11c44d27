import type { Redis } from 'ioredis';

/**
 * Gives out the instants at which texts may go, so many a second, to all workers from one line in Redis. The line is
 * only ever drawn from now on: emptied, it starts anew, and for a moment a little more may go than the rate.
 *
 * KEYS[1] the line. ARGV: ms per text, cost in texts, burst in ms, longest wait in ms, '1' when urgent.
 * Returns the wait in ms; -1: not within the longest wait, nothing was taken.
 */
const NEXT_SLOT = `
local time = redis.call('TIME')
local now = time[1] * 1000 + time[2] / 1000
local free = math.max(tonumber(redis.call('GET', KEYS[1]) or '0'), now)
local wait = math.max(0, free - now - tonumber(ARGV[3]))
if ARGV[5] == '1' then wait = 0 end
if wait > tonumber(ARGV[4]) then return -1 end
local next = free + ARGV[1] * ARGV[2]
redis.call('SET', KEYS[1], string.format('%.3f', next), 'PX', math.ceil(next - now) + 1000)
return math.ceil(wait)
`;

export interface SlotWanted {
  /** What the rate is of: a clinic, a gateway. */
  readonly line: string;
  readonly textsPerSecond: number;
  /** Texts this one counts as: its parts. */
  readonly cost: number;
  /** A safety text goes at once; those after it wait for it. */
  readonly isUrgent: boolean;
  /** Do not wait longer than this, in ms. */
  readonly longestWaitMs: number;
}

/** How long to wait (ms) for a slot that is now this text's; null: none within the longest wait, ask again later. */
export async function nextSlot(redis: Redis, prefix: string, wanted: SlotWanted): Promise<number | null> {
  const perText = 1_000 / wanted.textsPerSecond;
  // A tenth of a second's worth may go together, at least one: workers ask in clumps.
  const burst = Math.max(0, 100 - perText);
  const wait = await redis.eval(
    NEXT_SLOT,
    1,
    `${prefix}:slots:${wanted.line}`,
    perText,
    wanted.cost,
    burst,
    wanted.longestWaitMs,
    wanted.isUrgent ? '1' : '0',
  );
  const ms = Number(wait);
  return ms < 0 ? null : ms;
}
