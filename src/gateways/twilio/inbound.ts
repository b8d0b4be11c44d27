import twilio from 'twilio';
import type { DeliveryState } from '../../core/texts/delivery-order.js';
import { header, rawOf, utf8 } from '../body.js';
import type { InboundRead, WebhookReply, WebhookRequest } from '../gateway.js';
import { reasonOfTwilioCode, VALIDITY_EXPIRED } from './errors.js';

/** The query parameter of our own status callback address that carries our id of the text. */
export const OUR_ID = 'text';

/** An empty TwiML answer: take note, send nothing back. */
const NOTHING_TO_SAY: WebhookReply = {
  status: 200,
  type: 'text/xml; charset=utf-8',
  body: '<?xml version="1.0" encoding="UTF-8"?><Response/>',
};

/** Twilio's words for the states of a message (OpenAPI `message_enum_status`). Words not here are `unknown`. */
const STATES: Readonly<Record<string, DeliveryState>> = {
  accepted: 'accepted',
  scheduled: 'accepted',
  queued: 'accepted',
  sending: 'accepted',
  sent: 'sent',
  delivered: 'delivered',
  read: 'delivered',
  undelivered: 'failed',
  failed: 'failed',
  canceled: 'failed',
};

export function stateOfTwilioStatus(status: string, code?: number): DeliveryState {
  if (code === VALIDITY_EXPIRED) return 'expired';
  return STATES[status.toLowerCase()] ?? 'unknown';
}

type Params = Readonly<Record<string, string | readonly string[]>>;

/** Reads an inbound message or a status callback whose signature matches `authToken` for the exact public URL. */
export function readTwilioCall(request: WebhookRequest, authToken: string): InboundRead {
  const signature = header(request, 'x-twilio-signature');
  if (!signature) return { kind: 'not-genuine', words: 'no X-Twilio-Signature' };
  const form = utf8(request.rawBody);
  if (form === undefined)
    return { kind: 'not-genuine', words: 'the body is not UTF-8, so no signature can match' };
  const params = paramsOf(form);
  if (!isSigned(authToken, signature, request.url, params)) {
    return {
      kind: 'not-genuine',
      words: 'X-Twilio-Signature does not match: wrong auth token or public address',
    };
  }
  return understood(request, params);
}

function isSigned(authToken: string, signature: string, url: string, params: Params): boolean {
  try {
    return twilio.validateRequest(authToken, signature, url, { ...params });
  } catch {
    return false;
  }
}

function understood(request: WebhookRequest, params: Params): InboundRead {
  const raw = rawOf(request.rawBody);
  const id = one(params, 'MessageSid') ?? one(params, 'SmsSid');
  const status = one(params, 'MessageStatus') ?? one(params, 'SmsStatus');
  if (!id) return { kind: 'unreadable', words: 'a genuine call that names no MessageSid', raw };
  const body = one(params, 'Body');
  if (body !== undefined || status === 'received') {
    const from = one(params, 'From') ?? '';
    const to = one(params, 'To') ?? '';
    const text = { providerId: id, from, to, body: body ?? '', raw };
    return { kind: 'genuine', texts: [text], reports: [], reply: NOTHING_TO_SAY };
  }
  if (status === undefined) return { kind: 'unreadable', words: 'neither a message nor a status', raw };
  return {
    kind: 'genuine',
    texts: [],
    reports: [report(request, params, id, status)],
    reply: NOTHING_TO_SAY,
  };
}

function report(request: WebhookRequest, params: Params, providerId: string, status: string) {
  const code = one(params, 'ErrorCode');
  const reason = reasonOfTwilioCode(code === undefined ? undefined : Number(code));
  const ourId = new URL(request.url).searchParams.get(OUR_ID);
  return {
    providerId,
    ...(ourId === null ? {} : { ourId }),
    state: stateOfTwilioStatus(status, code === undefined ? undefined : Number(code)),
    ...(reason === undefined ? {} : { reason }),
    ...(code === undefined ? {} : { code }),
    raw: rawOf(request.rawBody),
  };
}

/** A form's fields; one that comes twice is a list, as the signature wants it. */
function paramsOf(form: string): Params {
  const params: Record<string, string | string[]> = Object.create(null);
  for (const [name, value] of new URLSearchParams(form)) {
    const known = params[name];
    if (known === undefined) params[name] = value;
    else params[name] = [...(Array.isArray(known) ? known : [known]), value];
  }
  return params;
}

function one(params: Params, name: string): string | undefined {
  const value = params[name];
  return typeof value === 'string' || value === undefined ? value : value[0];
}
