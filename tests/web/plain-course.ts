import type { PlanCourse } from '../../src/store/course-record.js';

/** A course only as deep as the pages' tests need where they are not about the course: the phase from the last event. */
export const plainCourse: PlanCourse = (record) => {
  const last = record.events.at(-1)?.type;
  const phase =
    last === 'brace' ? 'brace-day' : last === 'tenotomy' ? 'tenotomy' : last === 'cast' ? 'cast' : 'before';
  return { phase, visits: [], texts: [], alerts: [], nextChange: null };
};
