import { randomBytes } from 'node:crypto';

/** Who is signed in on this browser. Times are the machine's own (ms), never a moved demonstration clock. */
export interface Session {
  readonly id: string;
  readonly staffId: string;
  /** Must come back with every form of this session. */
  readonly csrf: string;
  readonly openedAt: number;
}

export interface Sessions {
  open(staffId: string): Promise<Session>;
  /**
   * The session, or null when it never was, was closed, lay idle too long or reached its absolute end. Finding it is
   * using it, unless `isLookOnly`: a page that asks for news by itself must not keep a session alive.
   */
  find(id: string, isLookOnly?: boolean): Promise<Session | null>;
  close(id: string): Promise<void>;
}

/** As much of Redis as sessions need. */
export interface SessionKeys {
  get(key: string): Promise<string | null>;
  set(key: string, value: string, px: 'PX', ms: number): Promise<unknown>;
  pexpire(key: string, ms: number): Promise<unknown>;
  del(key: string): Promise<unknown>;
}

export interface SessionLimits {
  /** A session not used for this long ends. */
  readonly idleMs: number;
  /** A session ends this long after it was opened, used or not. */
  readonly absoluteMs: number;
}

/** A nurse's shift: two hours without a look, twelve hours in all. Common practice, no source. */
export const SHIFT_LIMITS: SessionLimits = { idleMs: 2 * 3_600_000, absoluteMs: 12 * 3_600_000 };

/** Sessions in Redis, where losing them costs a sign-in and nothing else. `now` is the machine's time in ms. */
export function redisSessions(keys: SessionKeys, limits: SessionLimits, now: () => number): Sessions {
  const key = (id: string) => `session:${id}`;
  return {
    async open(staffId) {
      const session = { id: token(), staffId, csrf: token(), openedAt: now() };
      await keys.set(key(session.id), JSON.stringify(session), 'PX', limits.idleMs);
      return session;
    },
    async find(id, isLookOnly = false) {
      if (!/^[\w-]{43}$/.test(id)) return null;
      const stored = await keys.get(key(id));
      if (stored === null) return null;
      const session = JSON.parse(stored) as Session;
      const left = session.openedAt + limits.absoluteMs - now();
      if (left <= 0) {
        await keys.del(key(id));
        return null;
      }
      if (!isLookOnly) await keys.pexpire(key(id), Math.min(limits.idleMs, left));
      return session;
    },
    async close(id) {
      await keys.del(key(id));
    },
  };
}

/** 256 random bits in 43 characters safe for cookies and addresses. */
export function token(): string {
  return randomBytes(32).toString('base64url');
}
