import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  DELIVERY_STATES,
  type DeliveryState,
  isFinal,
  laterState,
  stateOfParts,
} from '../../../src/core/texts/delivery-order.js';

const states = fc.constantFrom(...DELIVERY_STATES);
const settled = (reports: readonly DeliveryState[]) => reports.reduce(laterState, 'unknown');

describe('delivery reports', () => {
  test('end in the same state whatever their order and however often each comes', () => {
    fc.assert(
      fc.property(
        fc.array(states, { maxLength: 8 }),
        fc.array(fc.nat(), { maxLength: 16 }),
        (reports, dice) => {
          const doubled = dice.flatMap((roll) => (reports.length ? [reports[roll % reports.length]] : []));
          const mixed = [...doubled.filter((one) => one !== undefined), ...reports].reverse();
          expect(settled(mixed)).toBe(settled(reports));
        },
      ),
    );
  });

  test('an earlier state never displaces a final one', () => {
    for (const known of DELIVERY_STATES.filter(isFinal)) {
      for (const late of DELIVERY_STATES.filter((one) => !isFinal(one))) {
        expect(laterState(known, late)).toBe(known);
      }
    }
    expect(laterState('failed', 'delivered')).toBe('delivered');
    expect(laterState('delivered', 'failed')).toBe('delivered');
  });

  test('a long text is delivered only when every part is', () => {
    expect(stateOfParts(['delivered', 'delivered'])).toBe('delivered');
    expect(stateOfParts(['delivered', 'sent'])).toBe('sent');
    expect(stateOfParts(['delivered', 'failed', 'sent'])).toBe('failed');
    expect(stateOfParts([])).toBe('unknown');
  });
});
