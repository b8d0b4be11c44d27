import { createHmac, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import { DONE, header, rawOf, utf8 } from '../body.js';
import type { InboundRead, RefusalReason, WebhookRequest } from '../gateway.js';

const TEXT = z.object({
  type: z.literal('text'),
  providerId: z.string().min(1),
  from: z.string(),
  to: z.string(),
  body: z.string(),
  at: z.string().optional(),
  part: z
    .object({
      ref: z.number().int(),
      number: z.number().int().positive(),
      total: z.number().int().positive(),
    })
    .optional(),
});
const REPORT = z.object({
  type: z.literal('report'),
  providerId: z.string().min(1),
  id: z.string().optional(),
  state: z.enum(['accepted', 'sent', 'delivered', 'failed', 'expired', 'unknown']).catch('unknown'),
  code: z.string().optional(),
  at: z.string().optional(),
});
const CALL = z.discriminatedUnion('type', [TEXT, REPORT]);

export interface PretendDoor {
  readonly secret: string;
  readonly replayWindowSeconds: number;
}

/** Codes in delivery reports that say more than "failed". */
const FAILURE_REASONS: Readonly<Record<string, RefusalReason>> = {
  'no-such-number': 'wrong-number',
  'not-a-mobile': 'wrong-number',
  'no-route': 'unreachable',
  'stopped-by-family': 'opted-out',
};

/** Reads one call of the pretend network. `now` is the time on the wall in ms. */
export function readPretendCall(request: WebhookRequest, door: PretendDoor, now: number): InboundRead {
  const fault = faultOfSignature(request, door, now);
  if (fault) return { kind: 'not-genuine', words: fault };
  const raw = rawOf(request.rawBody);
  const call = CALL.safeParse(parsed(utf8(request.rawBody)));
  if (!call.success) return { kind: 'unreadable', words: 'not a call this gateway knows', raw };
  if (call.data.type === 'text') {
    const { type: _, at, part, ...text } = call.data;
    const whole = {
      ...text,
      ...(at === undefined ? {} : { at }),
      ...(part === undefined ? {} : { part }),
      raw,
    };
    return { kind: 'genuine', texts: [whole], reports: [], reply: DONE };
  }
  const { providerId, id, state, code, at } = call.data;
  const reason = state === 'failed' && code !== undefined ? FAILURE_REASONS[code] : undefined;
  const report = {
    providerId,
    ...(id === undefined ? {} : { ourId: id }),
    state,
    ...(reason === undefined ? {} : { reason }),
    ...(code === undefined ? {} : { code }),
    ...(at === undefined ? {} : { at }),
    raw,
  };
  return { kind: 'genuine', texts: [], reports: [report], reply: DONE };
}

/** HMAC-SHA256 over `timestamp.body` with the shared secret, compared in constant time, inside the replay window. */
function faultOfSignature(request: WebhookRequest, door: PretendDoor, now: number): string | undefined {
  const timestamp = header(request, 'x-pretend-timestamp');
  const signature = header(request, 'x-pretend-signature');
  if (!timestamp || !signature) return 'no signature';
  if (!/^\d{1,15}$/.test(timestamp)) return 'the timestamp is not a number';
  if (Math.abs(now - Number(timestamp) * 1000) > door.replayWindowSeconds * 1000) {
    return 'signed too long ago or in the future: a replay, or a clock that is wrong';
  }
  const wanted = createHmac('sha256', door.secret).update(`${timestamp}.`).update(request.rawBody).digest();
  const given = Buffer.from(signature, 'hex');
  if (given.length !== wanted.length || !timingSafeEqual(given, wanted))
    return 'the signature does not match';
  return undefined;
}

function parsed(body: string | undefined): unknown {
  try {
    return body === undefined ? undefined : JSON.parse(body);
  } catch {
    return undefined;
  }
}
