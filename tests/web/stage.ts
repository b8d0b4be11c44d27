import type { StaffId } from '../../src/core/model/ids.js';
import type { CourseEvent } from '../../src/store/course-record.js';
import { addText } from '../../src/store/outbox.js';
import { recordWear } from '../../src/store/wear.js';
import { clinicIn, type Family, familyIn, flagFor, inBraceSince, staffIn } from './families.js';
import type { World } from './world.js';

export interface Staged {
  readonly nurse: StaffId;
  readonly administrator: StaffId;
  readonly family: Family;
  /** A name and an address for every page worth looking at. */
  readonly pages: Readonly<Record<string, string>>;
  /** The same for whoever keeps the clinic's settings. */
  readonly administratorPages: Readonly<Record<string, string>>;
}

const found = (pirani: number, abduction: number) => ({
  left: { pirani, abduction, abductionAngle: 'thigh-foot' },
});
const CASTS: readonly CourseEvent[] = [
  { type: 'cast', date: '2026-02-10', number: 1, feet: found(5.5, 5) },
  { type: 'cast', date: '2026-02-17', number: 2, feet: found(5, 20) },
  { type: 'missed', date: '2026-02-24' },
  { type: 'cast', date: '2026-02-26', number: 3, feet: found(4, 32) },
  { type: 'cast', date: '2026-03-05', number: 4, feet: found(3.5, 44) },
];
const TENOTOMY: readonly CourseEvent[] = [
  { type: 'cast', date: '2026-02-24', number: 1, feet: found(4, 40) },
  { type: 'tenotomy', date: '2026-03-03' },
  { type: 'cast', date: '2026-03-03', number: 2 },
];

/** An invented clinic on an ordinary morning. */
export async function stage(world: World): Promise<Staged> {
  const clinic = await clinicIn(world);
  const nurse = await staffIn(world, clinic, 'Amina Nabirye');
  await staffIn(world, clinic, 'Brian Otim', 'clinician');
  const okello = await familyIn(world, clinic, 'Okello', CASTS);
  const grace = await familyIn(world, clinic, 'Grace', inBraceSince('2026-02-18'));
  const daudi = await familyIn(world, clinic, 'Daudi', TENOTOMY);
  const layla = await familyIn(world, clinic, 'Layla', inBraceSince('2026-02-25'), {
    language: 'ar',
  });
  for (let day = 1; day <= 18; day += 1) {
    if (day % 5 === 0 || day === 13) continue;
    const date = new Date(Date.parse('2026-02-19T00:00:00Z') + day * 86_400_000).toISOString().slice(0, 10);
    const hours = day < 8 ? 22 : 19 - (day % 3) * 2;
    const wear = { childId: grace.childId, date, low: hours, high: hours + (day % 2) };
    await recordWear(world.store, wear, null, world.clock.now());
  }
  await asked(
    world,
    okello,
    'Hello. New cast on yesterday. Are the toes pink and warm? Can you see all five?',
    'cast-day',
  );
  await flagFor(world, daudi, {
    text: 'there is a bad smell from the cast since the morning',
    signs: [['smell', 'bad smell']],
    urgency: 'today',
    matter: 'infection',
  });
  world.clock.at += 50 * 60_000;
  await flagFor(world, grace, {
    text: 'small blister on the heel, she cries when we put it on',
    signs: [['skin-sore', 'blister']],
    urgency: 'today',
    matter: 'skin',
  });
  await flagFor(world, layla, {
    text: 'لا نقدر أن نأتي يوم الثلاثاء',
    signs: [],
    urgency: 'soon',
    matter: 'visit',
  });
  const flag = await flagFor(world, okello, {
    text: 'The toes are blue and cold, since the night. What must I do?',
    signs: [
      ['toes-discoloured', 'blue'],
      ['toes-cold', 'cold'],
    ],
  });
  world.clock.at += 7 * 60_000;
  await world.client.type(okello.number, 'The toes are blue and cold, since the night. What must I do?');
  const administrator = await staffIn(world, clinic, 'Ada Akello', 'administrator');
  return {
    nurse,
    administrator,
    administratorPages: { 'set-up': '/set-up', staff: '/set-up/staff' },
    family: okello,
    pages: {
      queue: '/queue',
      flag: `/flags/${flag}`,
      phones: '/demo/phones',
      phone: `/demo/phones/${encodeURIComponent(okello.number)}`,
      clock: '/demo/clock',
      child: `/children/${okello.childId}`,
      brace: `/children/${grace.childId}`,
      visit: `/children/${okello.childId}/visit`,
      sheet: `/children/${okello.childId}/hand-over`,
      children: '/children',
      enrol: '/enrol',
      try: '/try',
      list: '/enrol/list',
      programme: '/programme',
    },
  };
}

async function asked(world: World, family: Family, body: string, kind: string): Promise<void> {
  const now = world.clock.now();
  await addText(
    world.store,
    {
      key: `staged ${kind} ${family.childId}`,
      clinicId: family.clinicId,
      guardianId: family.guardianId,
      childId: family.childId,
      to: family.number,
      kind,
      lane: 'check-in',
      promised: 'at-most-once',
      language: 'en',
      body,
      wording: null,
      ignoresHours: false,
      notBefore: now - 3_600_000,
      expiresAt: null,
    },
    now,
  );
}
