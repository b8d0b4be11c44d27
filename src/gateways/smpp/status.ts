import type { DeliveryState } from '../../core/texts/delivery-order.js';
import type { RefusalReason } from '../gateway.js';

/** Too much was sent in a moment: be silent for a while, this text first afterwards. */
export const THROTTLED = 0x58;
/** The provider's queue is full: other texts may still pass; this one goes to the end. */
export const QUEUE_FULL = 0x14;

/** command_status of a submit_sm_resp (SMPP 3.4, section 5.1.3) that says something about the text or the account. */
const REASONS: Readonly<Record<number, RefusalReason>> = {
  1: 'too-long',
  8: 'try-later',
  10: 'not-allowed',
  11: 'wrong-number',
  13: 'not-allowed',
  14: 'not-allowed',
  15: 'not-allowed',
  [QUEUE_FULL]: 'try-later',
  72: 'not-allowed',
  73: 'not-allowed',
  80: 'wrong-number',
  81: 'wrong-number',
  69: 'try-later',
  [THROTTLED]: 'try-later',
  97: 'not-allowed',
  98: 'not-allowed',
};

/**
 * Why a submit was refused. A provider's own codes (0x400 and up) mean what its handbook says: the gateway's settings
 * may name them; a code nobody named will not change by trying again.
 */
export function reasonOfStatus(
  status: number,
  named: Readonly<Record<string, RefusalReason>> = {},
): RefusalReason {
  return named[wordOfStatus(status)] ?? REASONS[status] ?? 'not-allowed';
}

/** A status as providers print it, for example `0x00000058` written `0x58`. */
export function wordOfStatus(status: number): string {
  return `0x${status.toString(16).padStart(2, '0')}`;
}

/** message_state (section 5.2.28). */
const STATES: readonly DeliveryState[] = [
  'unknown',
  'sent',
  'delivered',
  'expired',
  'failed',
  'failed',
  'sent',
  'unknown',
  'failed',
];

export function stateOfNumber(state: number): DeliveryState {
  return STATES[state] ?? 'unknown';
}

/** `stat:` of a receipt's text (appendix B); some providers write the words out. */
const WORDS: Readonly<Record<string, DeliveryState>> = {
  ENROUTE: 'sent',
  DELIVRD: 'delivered',
  DELIVERED: 'delivered',
  EXPIRED: 'expired',
  DELETED: 'failed',
  UNDELIV: 'failed',
  UNDELIVERABLE: 'failed',
  ACCEPTD: 'sent',
  UNKNOWN: 'unknown',
  REJECTD: 'failed',
  REJECTED: 'failed',
};

export function stateOfWord(word: string): DeliveryState {
  return WORDS[word.toUpperCase()] ?? 'unknown';
}
