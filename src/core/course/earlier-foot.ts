import type { Day } from '../time/calendar-days.js';
import type { ClinicCalendar } from './clinic-days.js';
import type { History } from './history.js';
import type { Protocol } from './protocol.js';
import { openVisit, type Visit } from './visits.js';

/**
 * The day the last cast of a foot comes off while the other foot is still being corrected: on the day of another
 * visit when one lies in its window, the one nearest to the wished-for day. Pure.
 * @param standing the open and expected visits of the foot that leads
 */
export function earlierFootRemovals(
  protocol: Protocol,
  calendar: ClinicCalendar,
  history: History,
  standing: readonly Visit[],
): Visit[] {
  if (history.marks.at(-1)?.stage !== 'cast') return [];
  const { stay } = protocol.lastCast;
  const days = new Set<Day>();
  for (const foot of history.feet)
    if (foot.stage === 'tenotomy' && foot.castOn !== null && foot.tenotomy !== null) days.add(foot.tenotomy);
  return [...days].map((tenotomy) => {
    const target = tenotomy + stay.days;
    const visit = openVisit(
      calendar,
      'cast-removal',
      target,
      target - stay.window.before,
      target + stay.window.after,
    );
    const shared = standing
      .filter((other) => other.hasClinicDay && other.due >= visit.from && other.due <= visit.to)
      .sort((a, b) => Math.abs(a.due - target) - Math.abs(b.due - target) || a.due - b.due)[0];
    return shared === undefined ? visit : { ...visit, due: shared.due, hasClinicDay: true };
  });
}
