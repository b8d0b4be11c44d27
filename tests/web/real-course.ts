import { join } from 'node:path';
import { loadProtocols } from '../../src/flows/protocols.js';
import type { PlanCourse } from '../../src/store/course-record.js';
import { courseOf } from '../../src/web/parts/course-of.js';
import { localDate } from '../../src/web/times.js';

const { protocols } = loadProtocols(join(import.meta.dirname, '..', '..', 'flows'));

/** The course as the record needs it after a change: phase and visits. What is texted is another room's test. */
export const realCourse: PlanCourse = (record, now) => {
  const made = courseOf(record, localDate(now, record.clinic.timeZone), protocols);
  if (made.kind === 'faults') throw new Error(made.faults.join('; '));
  const { phase, visits } = made.course;
  return { phase, visits, texts: [], alerts: [], nextChange: null };
};
