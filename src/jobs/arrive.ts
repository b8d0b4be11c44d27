import type { DeliveryReport, InboundSink, InboundText } from '../gateways/gateway.js';
import { takeInbound, takeUnreadable } from '../store/inbox.js';
import { recordReports } from '../store/reports.js';
import { coalesce } from './coalesce.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';

/** Takes in what gateways bring: first the row, then the queue. Resolves once it is stored, which is all a gateway waits for. */
export interface Arrivals {
  text(gateway: string, text: InboundText): Promise<void>;
  report(gateway: string, report: DeliveryReport): Promise<void>;
  unreadable(gateway: string, raw: string, words: string): Promise<void>;
  /** For gateways that hold a line open. */
  sinkOf(gateway: string): InboundSink;
}

export function arrivals(jobs: Jobs): Arrivals {
  const record = coalesce(
    async (reports: readonly { readonly gateway: string; readonly report: DeliveryReport }[]) => {
      await recordReports(jobs.store, reports, jobs.now());
      return reports.map(() => null);
    },
  );
  const text = async (gateway: string, inbound: InboundText): Promise<void> => {
    const { id, isNew } = await takeInbound(jobs.store, gateway, inbound, jobs.now());
    // Not waited for: the sweep finds the row if Redis is slow or down.
    if (isNew) void tellQueues(jobs, { reads: [id] });
  };
  const report = async (gateway: string, said: DeliveryReport): Promise<void> => {
    await record({ gateway, report: said });
  };
  const unreadable = async (gateway: string, raw: string, words: string): Promise<void> => {
    const { id, isNew } = await takeUnreadable(jobs.store, gateway, raw, words, jobs.now());
    if (isNew) void tellQueues(jobs, { reads: [id] });
  };
  const sinkOf = (gateway: string): InboundSink => ({
    text: (inbound) => text(gateway, inbound),
    report: (said) => report(gateway, said),
    unreadable: (raw, words) => unreadable(gateway, raw, words),
  });
  return { text, report, unreadable, sinkOf };
}
