import { z } from 'zod';
import { ask, retryAfter } from '../ask.js';
import type {
  Gateway,
  InboundRead,
  OutboundText,
  ProviderList,
  RefusalReason,
  SendResult,
  Surroundings,
  WebhookRequest,
} from '../gateway.js';
import { describeKind } from '../kind.js';
import { readPretendCall } from './inbound.js';

const SETTINGS = z.strictObject({
  /** Where the pretend network listens, for example `http://127.0.0.1:4100`. */
  url: z.url(),
  /** Shared with the pretend network: it opens its door and signs its calls. */
  secret: z.string().min(16, 'needs at least 16 characters'),
  /** The clinic's number on the pretend network. */
  from: z.string().default('+15550100000'),
  timeoutMs: z.number().int().min(50).max(60_000).default(10_000),
  /** Calls signed longer ago than this, or as far ahead, are refused as replays. */
  replayWindowSeconds: z.number().int().min(1).max(3_600).default(300),
});
export type PretendSettings = z.output<typeof SETTINGS>;

/** What each of the pretend network's own codes means for us. */
const REASONS: Readonly<Record<string, RefusalReason>> = {
  'no-such-number': 'wrong-number',
  'not-a-mobile': 'wrong-number',
  'no-route': 'unreachable',
  'stopped-by-family': 'opted-out',
  'no-credit': 'out-of-credit',
  'bad-secret': 'not-allowed',
  'bad-request': 'not-allowed',
  'too-long': 'too-long',
  'slow-down': 'try-later',
  down: 'try-later',
};

const ACCEPTED = z.object({ providerId: z.string().min(1), parts: z.number().int().positive().optional() });
const REFUSED = z.object({ code: z.string(), words: z.string() });
const STATES = z.enum(['accepted', 'sent', 'delivered', 'failed', 'expired', 'unknown']).catch('unknown');
const LIST = z.object({
  sent: z.array(
    z.object({
      providerId: z.string(),
      id: z.string(),
      to: z.string(),
      body: z.string(),
      state: STATES,
      at: z.string(),
    }),
  ),
  received: z.array(
    z.object({ providerId: z.string(), from: z.string(), to: z.string(), body: z.string(), at: z.string() }),
  ),
});

/** Speaks to the pretend network as to any provider: over HTTP, with a secret, signed calls back. */
export class PretendGateway implements Gateway {
  readonly kind = 'pretend';
  #closed = false;

  constructor(
    readonly name: string,
    private readonly settings: PretendSettings,
    private readonly around: Surroundings,
  ) {}

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#closed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    const answer = await ask(`${this.settings.url}/messages`, {
      method: 'POST',
      headers: { authorization: `Bearer ${this.settings.secret}`, 'content-type': 'application/json' },
      body: JSON.stringify({
        id: text.id,
        to: text.to,
        from: text.from ?? this.settings.from,
        body: text.body,
        ...(text.validForSeconds === undefined ? {} : { validForSeconds: text.validForSeconds }),
      }),
      timeoutMs: this.settings.timeoutMs,
    });
    if (answer.kind === 'never-left') return { kind: 'refused', reason: 'try-later', words: answer.words };
    if (answer.kind === 'no-answer') return { kind: 'unknown', words: answer.words };
    if (answer.status === 202) return accepted(answer.body);
    return refused(answer.status, answer.body, retryAfter(answer.headers));
  }

  readInbound(request: WebhookRequest): InboundRead {
    return readPretendCall(request, this.settings, this.around.wallNow());
  }

  async list(sinceMs: number): Promise<ProviderList> {
    const answer = await ask(`${this.settings.url}/messages?since=${sinceMs}`, {
      method: 'GET',
      headers: { authorization: `Bearer ${this.settings.secret}` },
      timeoutMs: this.settings.timeoutMs,
    });
    if (answer.kind !== 'answered') throw new Error(`The list could not be read: ${answer.words}`);
    if (answer.status !== 200) throw new Error(`The list could not be read: answer ${answer.status}`);
    const list = LIST.parse(JSON.parse(answer.body));
    return {
      sent: list.sent.map(({ id, ...rest }) => ({ ...rest, ourId: id })),
      received: list.received.map((text) => ({ ...text, raw: JSON.stringify(text) })),
    };
  }

  async close(): Promise<void> {
    this.#closed = true;
  }
}

function accepted(body: string): SendResult {
  const read = ACCEPTED.safeParse(parsed(body));
  if (!read.success) return { kind: 'unknown', words: 'the answer was 202 but named no id' };
  const { providerId, parts } = read.data;
  return { kind: 'accepted', providerId, ...(parts === undefined ? {} : { parts }) };
}

/** A code we know is a refusal; anything else after the text was handed over leaves it open whether it went out. */
function refused(status: number, body: string, retryAfterSeconds: number | undefined): SendResult {
  const read = REFUSED.safeParse(parsed(body));
  const reason = read.success ? REASONS[read.data.code] : undefined;
  if (!read.success || !reason)
    return { kind: 'unknown', words: `an answer not understood: status ${status}` };
  return {
    kind: 'refused',
    reason,
    ...(retryAfterSeconds === undefined ? {} : { retryAfterSeconds }),
    code: read.data.code,
    words: read.data.words,
  };
}

function parsed(body: string): unknown {
  try {
    return JSON.parse(body);
  } catch {
    return undefined;
  }
}

export const pretendKind = describeKind({
  kind: 'pretend',
  schema: SETTINGS,
  open: (name, config, around) => new PretendGateway(name, config, around),
});
