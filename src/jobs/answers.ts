import type { SendResult } from '../gateways/gateway.js';
import type { Answer } from '../store/hand-over.js';
import type { TextOutRow } from '../store/tables.js';

/** What a gateway's definite answer means for a text. Instants in ms. Pure. */
export function answerOf(
  text: Pick<TextOutRow, 'id' | 'attempts'>,
  result: Exclude<SendResult, { kind: 'unknown' }>,
  now: number,
): Answer {
  const none = { providerId: null, parts: null, failure: null, detail: null, nextTryAt: null };
  if (result.kind === 'accepted') {
    return {
      ...none,
      id: text.id,
      state: 'accepted',
      providerId: result.providerId,
      parts: result.parts ?? null,
    };
  }
  const detail = result.code === undefined ? result.words : `${result.code}: ${result.words}`;
  const refused = { ...none, id: text.id, failure: result.reason, detail };
  switch (result.reason) {
    case 'wrong-number':
    case 'opted-out':
    case 'too-long':
    case 'unreachable':
      return { ...refused, state: 'failed' };
    case 'try-later': {
      const waitMs = (result.retryAfterSeconds ?? 0) * 1_000 || backOffMs(text.attempts);
      return { ...refused, state: 'queued', nextTryAt: now + waitMs };
    }
    // Every text fails until a person acts: they wait for that, as far as their own time allows.
    case 'out-of-credit':
    case 'not-allowed':
      return { ...refused, state: 'queued', nextTryAt: now + OPERATOR_MS };
    default:
      throw new Error(`Nobody knows what to do about ${JSON.stringify(result.reason satisfies never)}.`);
  }
}

const OPERATOR_MS = 10 * 60_000;

/** 5 s, 10 s, 20 s ... up to 5 minutes. */
function backOffMs(attempts: number): number {
  return Math.min(5_000 * 2 ** attempts, 300_000);
}
