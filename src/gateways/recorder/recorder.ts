import { z } from 'zod';
import type { Gateway, OutboundText, SendResult } from '../gateway.js';
import { describeKind } from '../kind.js';

/** A gateway that sends nothing and keeps everything: for dry runs and for tests of what would have gone out. */
export class Recorder implements Gateway {
  readonly kind = 'recorder';
  readonly sent: OutboundText[] = [];
  #closed = false;

  constructor(
    readonly name: string,
    private readonly keepAtMost = 100_000,
  ) {}

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#closed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    this.sent.push(text);
    if (this.sent.length > this.keepAtMost) this.sent.shift();
    return { kind: 'accepted', providerId: `recorded-${text.id}` };
  }

  async close(): Promise<void> {
    this.#closed = true;
  }
}

export const recorderKind = describeKind({
  kind: 'recorder',
  schema: z.strictObject({
    /** Oldest texts are forgotten beyond this many. */
    keepAtMost: z.number().int().min(1).default(100_000),
  }),
  open: (name, config) => new Recorder(name, config.keepAtMost),
});
