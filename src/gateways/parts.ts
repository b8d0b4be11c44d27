import { type DeliveryState, isFinal, laterState, stateOfParts } from '../core/texts/delivery-order.js';
import type { DeliveryReport } from './gateway.js';

interface Sent {
  readonly ids: readonly string[];
  readonly states: Map<string, DeliveryState>;
}

/** Long texts kept in mind at most; older ones are forgotten, and their later parts' receipts come under their own id. */
const KEPT = 20_000;

/**
 * A long text has an id for each part but is one text to everyone else: it goes by its first part's id, and its
 * receipts become one report when every part has a final word, or any part has failed.
 */
export class PartsSent {
  readonly #byPart = new Map<string, Sent>();

  remember(ids: readonly string[]): void {
    if (ids.length < 2) return;
    const sent: Sent = { ids, states: new Map() };
    for (const id of ids) this.#byPart.set(id, sent);
    for (const id of this.#byPart.keys()) {
      if (this.#byPart.size <= KEPT) break;
      this.#byPart.delete(id);
    }
  }

  /** The report as the whole text's; `sent` until more is known. */
  whole(report: DeliveryReport): DeliveryReport {
    const sent = this.#byPart.get(report.providerId);
    if (!sent) return report;
    sent.states.set(
      report.providerId,
      laterState(sent.states.get(report.providerId) ?? 'unknown', report.state),
    );
    const providerId = sent.ids[0] ?? report.providerId;
    const states = sent.ids.map((id) => sent.states.get(id) ?? 'accepted');
    const hasFailed = states.some((state) => state === 'failed' || state === 'expired');
    const state = hasFailed || states.every(isFinal) ? stateOfParts(states) : 'sent';
    return { ...report, providerId, state };
  }
}
