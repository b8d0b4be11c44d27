/** What is known of a text after hand-over, whoever reported it. */
export const DELIVERY_STATES = ['accepted', 'sent', 'delivered', 'failed', 'expired', 'unknown'] as const;
export type DeliveryState = (typeof DELIVERY_STATES)[number];

/**
 * How much each state settles. `unknown` says least: it never displaces anything. `delivered` beats a failure,
 * because a network that saw the phone confirm knows more than one that gave up waiting.
 */
const SETTLES: Readonly<Record<DeliveryState, number>> = {
  unknown: 0,
  accepted: 1,
  sent: 2,
  expired: 3,
  failed: 4,
  delivered: 5,
};

/** Claims that nothing later can change the picture except a confirmed delivery. */
export function isFinal(state: DeliveryState): boolean {
  return SETTLES[state] >= SETTLES.expired;
}

/**
 * Which state stands after one more report. Reports come twice, late and out of order, so the answer depends only on
 * what was said, never on the order: pure, commutative, associative, idempotent.
 *
 * @example laterState('delivered', 'sent') // 'delivered'
 */
export function laterState(known: DeliveryState, reported: DeliveryState): DeliveryState {
  return SETTLES[reported] > SETTLES[known] ? reported : known;
}

/**
 * The state of a text from the states of its parts: delivered only when every part is, failed when any part failed
 * for good (half a sentence is not the sentence).
 */
export function stateOfParts(parts: readonly DeliveryState[]): DeliveryState {
  for (const state of ['failed', 'expired', 'unknown', 'accepted', 'sent'] as const) {
    if (parts.includes(state)) return state;
  }
  return parts.length === 0 ? 'unknown' : 'delivered';
}
