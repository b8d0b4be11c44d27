import type { ClinicId } from '../../src/core/model/ids.js';
import { addClinic, type NewClinic } from '../../src/store/clinics.js';
import type { CoursePlan, CourseText, PlanCourse } from '../../src/store/course-record.js';
import { type Enrolled, enrol, type NewGuardian } from '../../src/store/families.js';
import type { Store } from '../../src/store/store.js';

export const DAY = 86_400_000;
export const HOUR = 3_600_000;
/** Tuesday 2 June 2026, 09:00 in UTC. */
export const TUESDAY_NINE = Date.UTC(2026, 5, 2, 9);

let numbers = 0;
/** A number nobody has: the 555-01xx range is reserved for invented numbers. */
export function inventedNumber(): string {
  numbers += 1;
  return `+1555${String(100_000 + numbers).slice(-3)}01${String(numbers % 100).padStart(2, '0')}`;
}

export async function someClinic(store: Store, change: Partial<NewClinic> = {}): Promise<ClinicId> {
  return addClinic(
    store,
    {
      name: 'Hillside Foot Clinic',
      timeZone: 'UTC',
      country: 'UG',
      clinicDays: ['tuesday', 'thursday'],
      callNumber: '+15550100900',
      emergencyNumber: '999',
      settings: { spreadMinutes: 0 },
      ...change,
    },
    'toeline',
    TUESDAY_NINE,
  );
}

/** A course that wants exactly these texts, whatever the record says; the real course has its own tests. */
export function fixedCourse(texts: readonly CourseText[], phase = 'casting'): PlanCourse {
  return (_record, now, until): CoursePlan => ({
    phase,
    visits: [],
    alerts: [],
    nextChange: null,
    texts: texts.filter((text) => text.dueAt < until && text.expiresAt > now),
  });
}

export const noTexts: PlanCourse = fixedCourse([]);

export async function someFamily(
  store: Store,
  clinicId: ClinicId,
  options: { plan?: PlanCourse; now?: number; guardians?: readonly Partial<NewGuardian>[] } = {},
): Promise<Enrolled & { readonly numbers: readonly string[] }> {
  const guardians = (options.guardians ?? [{}]).map((guardian, index) => ({
    name: `Guardian ${index + 1}`,
    number: inventedNumber(),
    language: 'en',
    ...guardian,
  }));
  const enrolled = await enrol(
    store,
    { clinicId, child: { givenName: 'Ada', born: '2026-05-01', feet: ['left'] }, guardians },
    { by: 'toeline', now: options.now ?? TUESDAY_NINE, plan: options.plan ?? noTexts, aheadMs: 14 * DAY },
  );
  return { ...enrolled, numbers: guardians.map(({ number }) => number) };
}
