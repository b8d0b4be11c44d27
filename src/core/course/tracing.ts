import type { Day } from '../time/calendar-days.js';
import type { Protocol } from './protocol.js';
import type { Visit } from './visits.js';
import type { Watch } from './watch.js';

/** A visit the child did not come to and that nothing has made up for yet. */
export interface TracedVisit {
  readonly visit: Visit;
  /** The day the texts count from: the last visit recorded as missed, else the first that passed unrecorded. */
  readonly since: Day;
  /** The first such day since the child was last seen: the day a person is asked counts from it. */
  readonly firstSince: Day;
  readonly ladder: Protocol['tracing']['cast'];
  readonly isInCast: boolean;
}

/**
 * Whom to look for: visits missed, or over with nothing recorded, since the child was last seen. A forgotten cast
 * harms, so visits of the casting time climb the ladder faster. At most one visit is traced at a time. Pure.
 */
export function tracedVisits(protocol: Protocol, visits: readonly Visit[], watch: Watch): TracedVisit[] {
  let lastSeen = Number.NEGATIVE_INFINITY;
  for (const visit of visits)
    if (visit.settled === 'kept' && visit.settledOn !== null) lastSeen = Math.max(lastSeen, visit.settledOn);
  let recorded: { visit: Visit; since: Day } | null = null;
  let passed: { visit: Visit; since: Day } | null = null;
  let firstSince = Number.POSITIVE_INFINITY;
  for (const visit of visits) {
    if (visit.isExpectation) continue;
    if (visit.settled === 'missed' && visit.settledOn !== null && visit.settledOn > lastSeen) {
      if (recorded === null || visit.settledOn > recorded.since) recorded = { visit, since: visit.settledOn };
      firstSince = Math.min(firstSince, visit.settledOn);
    }
    if (visit.settled === null && visit.due > lastSeen && watch.passed(visit.due)) {
      if (passed === null || visit.due < passed.since) passed = { visit, since: visit.due };
      firstSince = Math.min(firstSince, visit.due);
    }
  }
  const traced = recorded ?? passed;
  if (traced === null) return [];
  const isInCast = traced.visit.kind !== 'brace-check' && traced.visit.kind !== 'review';
  return [
    { ...traced, firstSince, isInCast, ladder: isInCast ? protocol.tracing.cast : protocol.tracing.brace },
  ];
}
