import twilio from 'twilio';
import type { MessageInstance } from 'twilio/lib/rest/api/v2010/account/message.js';
import { z } from 'zod';
import { struckBeforeConnected } from '../ask.js';
import type {
  Gateway,
  InboundRead,
  InboundText,
  ListedText,
  OutboundText,
  ProviderList,
  SendResult,
  Surroundings,
  WebhookRequest,
} from '../gateway.js';
import { describeKind } from '../kind.js';
import { reasonOfTwilioCode, reasonOfTwilioStatus } from './errors.js';
import { OUR_ID, readTwilioCall, stateOfTwilioStatus } from './inbound.js';

const SETTINGS = z
  .strictObject({
    accountSid: z.string().regex(/^AC[0-9a-fA-F]{32}$/, 'AC and 32 hexadecimal digits, from the console'),
    /** Also signs Twilio's calls, so it is needed when an API key does the sending. */
    authToken: z.string().min(1),
    apiKey: z.strictObject({ sid: z.string().min(1), secret: z.string().min(1) }).optional(),
    /** The number or sender name, or a messaging service; one of the two. */
    from: z.string().min(1).optional(),
    messagingServiceSid: z
      .string()
      .regex(/^MG[0-9a-fA-F]{32}$/, 'MG and 32 hexadecimal digits')
      .optional(),
    timeoutMs: z.number().int().min(100).max(60_000).default(15_000),
    /** Most messages of Twilio's own list to read in one go. */
    listAtMost: z.number().int().min(1).max(100_000).default(10_000),
    /** Another address of the API: a regional one, or a stand-in for tests. */
    apiUrl: z.url().optional(),
  })
  .refine(
    (one) => (one.from === undefined) !== (one.messagingServiceSid === undefined),
    'give either "from" or "messagingServiceSid", and not both',
  );
export type TwilioSettings = z.output<typeof SETTINGS>;

/** Longest wait in Twilio's queue, seconds (docs: api/errors/90007). */
const LONGEST_VALIDITY_S = 36_000;

/** Twilio's Programmable Messaging over REST, with status callbacks and signed webhooks. */
export class TwilioGateway implements Gateway {
  readonly kind = 'twilio';
  readonly #client: twilio.Twilio;
  #closed = false;

  constructor(
    readonly name: string,
    private readonly settings: TwilioSettings,
    private readonly around: Surroundings,
  ) {
    const { accountSid, authToken, apiKey, timeoutMs, apiUrl } = settings;
    const options = { accountSid, timeout: timeoutMs, autoRetry: false };
    this.#client = apiKey
      ? twilio(apiKey.sid, apiKey.secret, options)
      : twilio(accountSid, authToken, options);
    if (apiUrl) this.#client.api.baseUrl = apiUrl.replace(/\/$/, '');
  }

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#closed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    const { messagingServiceSid } = this.settings;
    const from = text.from ?? this.settings.from;
    try {
      const message = await this.#client.messages.create({
        to: text.to,
        body: text.body,
        ...(from === undefined ? {} : { from }),
        ...(messagingServiceSid === undefined ? {} : { messagingServiceSid }),
        statusCallback: `${this.around.publicUrl}/hooks/${this.name}?${OUR_ID}=${encodeURIComponent(text.id)}`,
        ...(text.validForSeconds === undefined ? {} : { validityPeriod: validity(text.validForSeconds) }),
      });
      return taken(message);
    } catch (error) {
      return failed(error);
    }
  }

  readInbound(request: WebhookRequest): InboundRead {
    return readTwilioCall(request, this.settings.authToken);
  }

  async list(sinceMs: number): Promise<ProviderList> {
    const messages = await this.#client.messages.list({
      dateSentAfter: new Date(sinceMs),
      pageSize: Math.min(1_000, this.settings.listAtMost),
      limit: this.settings.listAtMost,
    });
    const isInbound = (one: MessageInstance) => one.direction === 'inbound';
    return {
      sent: messages.filter((one) => !isInbound(one)).map(listed),
      received: messages.filter(isInbound).map(received),
    };
  }

  async balance(): Promise<{ amount: number; unit: string }> {
    const { balance, currency } = await this.#client.balance.fetch();
    return { amount: Number(balance), unit: currency };
  }

  async close(): Promise<void> {
    this.#closed = true;
  }
}

function validity(seconds: number): number {
  return Math.max(1, Math.min(LONGEST_VALIDITY_S, Math.floor(seconds)));
}

function taken(message: MessageInstance): SendResult {
  const parts = Number(message.numSegments);
  if (!message.sid) return { kind: 'unknown', words: 'the answer named no message' };
  return {
    kind: 'accepted',
    providerId: message.sid,
    ...(Number.isInteger(parts) && parts > 0 ? { parts } : {}),
  };
}

function failed(error: unknown): SendResult {
  if (error instanceof twilio.RestException) {
    const reason = reasonOfTwilioCode(error.code) ?? reasonOfTwilioStatus(error.status);
    const words = `${error.message} (status ${error.status})`;
    if (!reason) return { kind: 'unknown', words };
    const code = error.code === undefined ? {} : { code: String(error.code) };
    return { kind: 'refused', reason, ...code, words };
  }
  const words = error instanceof Error ? error.message : 'no answer';
  if (struckBeforeConnected(error)) return { kind: 'refused', reason: 'try-later', words };
  return { kind: 'unknown', words };
}

function listed(message: MessageInstance): ListedText {
  return {
    providerId: message.sid,
    to: message.to,
    body: message.body,
    state: stateOfTwilioStatus(message.status, message.errorCode ?? undefined),
    at: when(message),
  };
}

function received(message: MessageInstance): InboundText {
  const { sid, from, to, body } = message;
  return { providerId: sid, from, to, body, at: when(message), raw: JSON.stringify({ sid, from, to, body }) };
}

function when(message: MessageInstance): string {
  const at = message.dateSent ?? message.dateCreated;
  return at instanceof Date && !Number.isNaN(at.getTime()) ? at.toISOString() : new Date(0).toISOString();
}

export const twilioKind = describeKind({
  kind: 'twilio',
  schema: SETTINGS,
  open: (name, config, around) => new TwilioGateway(name, config, around),
});
