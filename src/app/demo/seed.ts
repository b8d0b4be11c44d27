import type { CourseEvent, FootFindings } from '../../core/model/course-events.js';
import type { ClinicId, StaffId } from '../../core/model/ids.js';
import { addClinic, changeClinicSettings } from '../../store/clinics.js';
import { type Change, enrol } from '../../store/families.js';
import { addStaff } from '../../store/staff.js';
import type { Store } from '../../store/store.js';
import { dateOf, type Scenario, type ScenarioChild } from './scenario.js';

export interface Seeded {
  readonly clinicId: ClinicId;
  readonly staff: readonly { readonly id: StaffId; readonly name: string; readonly role: string }[];
}

/** Puts the invented clinic, its staff and its families into an empty record, as if they had been enrolled there. */
export async function seed(store: Store, scenario: Scenario, change: Change): Promise<Seeded> {
  const { clinic } = scenario;
  const clinicId = await addClinic(
    store,
    {
      ...clinic,
      settings: { spreadMinutes: 5 },
    },
    'toeline',
    change.now,
  );
  const staff = [];
  for (const person of scenario.staff) {
    const id = await addStaff(store, { ...person, clinicId, role: person.role }, 'toeline', change.now);
    staff.push({ id, name: person.name, role: person.role });
  }
  const [nurse, second] = staff.filter((person) => person.role === 'nurse');
  const clinician = staff.find((person) => person.role === 'clinician');
  const onCall = { nurse: nurse?.id ?? null, second: second?.id ?? null, clinician: clinician?.id ?? null };
  await changeClinicSettings(store, clinicId, { onCall }, 'toeline', change.now);
  for (const child of scenario.children) await enrolOne(store, scenario, child, clinicId, change);
  return { clinicId, staff };
}

async function enrolOne(
  store: Store,
  scenario: Scenario,
  child: ScenarioChild,
  clinicId: ClinicId,
  change: Change,
): Promise<void> {
  await enrol(
    store,
    {
      clinicId,
      child: {
        givenName: child.name,
        born: dateOf(scenario, child.born),
        feet: child.feet,
        travelHours: child.travelHours ?? null,
      },
      guardians: child.guardians.map((guardian) => ({
        ...guardian,
        consent: {
          text: 'We may text you about the treatment. You can stop the texts at any time.',
          on: dateOf(scenario, child.casts[0]?.[0] ?? 0),
          by: 'Nurse Wema',
        },
      })),
      events: eventsOf(scenario, child),
    },
    change,
  );
}

/** The child's history as events, oldest first; both feet of a child get the same findings here. */
export function eventsOf(scenario: Scenario, child: ScenarioChild): CourseEvent[] {
  const dated: [number, CourseEvent][] = child.casts.map(([day, pirani, abduction], index) => {
    const findings: FootFindings = { pirani, abduction, abductionAngle: 'thigh-foot' };
    const feet = Object.fromEntries(child.feet.map((foot) => [foot, findings]));
    return [day, { type: 'cast', date: dateOf(scenario, day), number: index + 1, feet }];
  });
  const add = (
    day: number | undefined,
    type: 'tenotomy' | 'cast-removed' | 'brace' | 'visit' | 'missed' | 'discharged',
  ) => {
    if (day !== undefined) dated.push([day, { type, date: dateOf(scenario, day) }]);
  };
  add(child.tenotomy, 'tenotomy');
  add(child.removed, 'cast-removed');
  add(child.brace, 'brace');
  for (const day of child.visits) add(day, 'visit');
  for (const day of child.missed) add(day, 'missed');
  add(child.discharged, 'discharged');
  const order = ['tenotomy', 'cast-removed', 'cast', 'brace', 'visit', 'missed', 'discharged'];
  return dated
    .sort(([a, one], [b, other]) => a - b || order.indexOf(one.type) - order.indexOf(other.type))
    .map(([, event]) => event);
}
