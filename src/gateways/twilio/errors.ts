import type { RefusalReason } from '../gateway.js';

/**
 * What Twilio's error codes mean for a text, whether they come at the request or in a status callback. Source: Twilio
 * docs, api/errors/<code>, and for 21610 and 21614 lists kept by users of the API. A code that is not here keeps its
 * number and words and means "failed" and no more.
 */
const REASONS: Readonly<Record<number, RefusalReason>> = {
  20003: 'not-allowed',
  20005: 'out-of-credit',
  20429: 'try-later',
  21211: 'wrong-number',
  21217: 'wrong-number',
  21408: 'not-allowed',
  21606: 'not-allowed',
  21608: 'not-allowed',
  21610: 'opted-out',
  21611: 'try-later',
  21612: 'not-allowed',
  21614: 'wrong-number',
  21617: 'too-long',
  21635: 'wrong-number',
  21659: 'not-allowed',
  30001: 'try-later',
  30002: 'out-of-credit',
  /* Transient: a phone that is off or out of reach; a retry may work. */
  30003: 'unreachable',
  30004: 'unreachable',
  30005: 'wrong-number',
  /* A landline, or a carrier that cannot be reached: the docs say not to try again. */
  30006: 'wrong-number',
  30007: 'not-allowed',
  30034: 'not-allowed',
  63038: 'try-later',
};

/** The message waited longer than its validity period and was not sent. */
export const VALIDITY_EXPIRED = 30_036;

export function reasonOfTwilioCode(code: number | undefined): RefusalReason | undefined {
  return code === undefined ? undefined : REASONS[code];
}

/**
 * What a refused request means when its code tells nothing: 429 is a matter of pace, other 4xx answers will be the
 * same every time, and after a 5xx nobody knows whether the text went out (undefined).
 */
export function reasonOfTwilioStatus(status: number): RefusalReason | undefined {
  if (status === 429) return 'try-later';
  if (status === 402) return 'out-of-credit';
  if (status >= 400 && status < 500) return 'not-allowed';
  return undefined;
}
