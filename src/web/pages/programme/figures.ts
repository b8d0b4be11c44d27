import { followUp } from '../../../core/course/programme/follow-up.js';
import { kaplanMeier, type SurvivalStep } from '../../../core/course/programme/kaplan-meier.js';
import type { ChildId } from '../../../core/model/ids.js';
import { childRecords } from '../../../store/child-records.js';
import type { Ask } from '../../page.js';
import { inputOf } from '../../parts/course-of.js';
import { localDate } from '../../times.js';

/** Computing the curve reads every child's record; beyond so many the page says that it leaves it out. */
export const MOST_CHILDREN = 3_000;
const BATCH = 200;

export interface Staying {
  readonly children: number;
  readonly lost: number;
  readonly steps: readonly SurvivalStep[];
  readonly isLeftOut: boolean;
}

/**
 * Share of children still in care by days since treatment began: a child is lost when it was not seen within 3 weeks in
 * casting, 4 weeks after the tenotomy, 6 months in the brace (Pinto D et al. J Foot Ankle Surg 2022;61(4):730-734).
 */
export async function stayingInCare(ask: Ask): Promise<Staying> {
  const ids = await ask.deps.views.treatedChildren({ clinicId: ask.clinicId, limit: MOST_CHILDREN + 1 });
  if (ids.length > MOST_CHILDREN) return { children: ids.length, lost: 0, steps: [], isLeftOut: true };
  const observed: { time: number; isEvent: boolean }[] = [];
  for (let i = 0; i < ids.length; i += BATCH) {
    const records = await childRecords(ask.deps.store, ids.slice(i, i + BATCH) as ChildId[]);
    for (const { record } of records) {
      const read = inputOf(record, localDate(ask.now, record.clinic.timeZone), ask.deps.protocols);
      const followed = read.kind === 'input' ? followUp(read.input, read.protocol) : null;
      if (followed !== null)
        observed.push({ time: followed.to - followed.from, isEvent: followed.isDropout });
    }
  }
  return {
    children: observed.length,
    lost: observed.filter((one) => one.isEvent).length,
    steps: kaplanMeier(observed),
    isLeftOut: false,
  };
}
