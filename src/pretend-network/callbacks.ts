import { createHmac } from 'node:crypto';

/** A call to toeline that was given up, kept so that a test or a person can see it. */
export interface GivenUp {
  readonly body: string;
  readonly attempts: number;
  readonly why: string;
}

export interface CallbackSettings {
  /** Toeline's webhook for this network, in full. */
  readonly url: string;
  readonly secret: string;
  /** A call is tried again for this long, then given up. */
  readonly tryForMs: number;
  readonly timeoutMs: number;
  /** Calls under way at once. */
  readonly atOnce: number;
}

interface Call {
  readonly body: string;
  readonly since: number;
  attempts: number;
}

const FIRST_WAIT_MS = 200;
const LONGEST_WAIT_MS = 5_000;
/** Answers that no repetition will change. */
const NO_USE = new Set([400, 401, 403, 413, 422]);

/** Calls toeline back, signed, and keeps trying with growing pauses while toeline is down. */
export class Callbacks {
  readonly givenUp: GivenUp[] = [];
  #waiting: Call[] = [];
  #underWay = 0;
  #sleeping = 0;
  #made = 0;
  #closed = false;
  readonly #timers = new Set<NodeJS.Timeout>();

  constructor(private readonly settings: CallbackSettings) {}

  /** Calls not yet answered, and calls answered well since the start. */
  get counts(): { readonly open: number; readonly made: number; readonly givenUp: number } {
    const open = this.#waiting.length + this.#underWay + this.#sleeping;
    return { open, made: this.#made, givenUp: this.givenUp.length };
  }

  call(content: Readonly<Record<string, unknown>>): void {
    this.#enter({ body: JSON.stringify(content), since: Date.now(), attempts: 0 });
  }

  close(): void {
    this.#closed = true;
    this.#waiting = [];
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
  }

  #enter(call: Call): void {
    if (this.#closed) return;
    this.#waiting.push(call);
    this.#next();
  }

  #next(): void {
    while (this.#underWay < this.settings.atOnce) {
      const call = this.#waiting.shift();
      if (!call) return;
      this.#underWay += 1;
      void this.#attempt(call).finally(() => {
        this.#underWay -= 1;
        this.#next();
      });
    }
  }

  async #attempt(call: Call): Promise<void> {
    call.attempts += 1;
    const outcome = await this.#post(call.body);
    if (outcome === 'taken') {
      this.#made += 1;
      return;
    }
    const isLate = Date.now() - call.since > this.settings.tryForMs;
    if (outcome.isFinal || isLate) {
      this.givenUp.push({ body: call.body, attempts: call.attempts, why: outcome.why });
      return;
    }
    this.#later(call);
  }

  #later(call: Call): void {
    const wait = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (call.attempts - 1));
    this.#sleeping += 1;
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      this.#sleeping -= 1;
      this.#enter(call);
    }, wait);
    this.#timers.add(timer);
  }

  async #post(body: string): Promise<'taken' | { readonly isFinal: boolean; readonly why: string }> {
    const timestamp = String(Math.floor(Date.now() / 1000));
    const signature = createHmac('sha256', this.settings.secret).update(`${timestamp}.${body}`).digest('hex');
    try {
      const answer = await fetch(this.settings.url, {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          'x-pretend-timestamp': timestamp,
          'x-pretend-signature': signature,
        },
        body,
        signal: AbortSignal.timeout(this.settings.timeoutMs),
      });
      await answer.arrayBuffer();
      if (answer.ok) return 'taken';
      return { isFinal: NO_USE.has(answer.status), why: `answer ${answer.status}` };
    } catch (error) {
      return { isFinal: false, why: error instanceof Error ? error.message : 'no answer' };
    }
  }
}
