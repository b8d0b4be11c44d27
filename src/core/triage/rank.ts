import { URGENCIES, type Urgency } from '../model/signs.js';

/** What ordering needs to know of a flag. Instants in ms. */
export interface Rankable {
  readonly id?: string;
  readonly urgency: Urgency;
  readonly dueAt: number;
  readonly risk: number;
  readonly openedAt: number;
}

/**
 * The order of the queue: most urgent first; within an urgency overdue first, then the higher risk, then the
 * longer wait; ids settle what is left, so that the order never flickers. Pure.
 */
export function compareFlags(a: Rankable, b: Rankable, now: number): number {
  const overdue = (flag: Rankable) => (flag.dueAt <= now ? 1 : 0);
  return (
    URGENCIES.indexOf(b.urgency) - URGENCIES.indexOf(a.urgency) ||
    overdue(b) - overdue(a) ||
    b.risk - a.risk ||
    a.openedAt - b.openedAt ||
    (a.id ?? '').localeCompare(b.id ?? '')
  );
}

/** The flags in the order a nurse should look at them; the list given stays as it is. */
export function rankFlags<Flag extends Rankable>(flags: readonly Flag[], now: number): Flag[] {
  return flags.toSorted((a, b) => compareFlags(a, b, now));
}
