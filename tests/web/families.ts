import type { FlagRaised } from '../../src/core/model/flag.js';
import type { ChildId, ClinicId, FlagId, GuardianId, StaffId } from '../../src/core/model/ids.js';
import type { Evidence } from '../../src/core/model/reading.js';
import type { Sign } from '../../src/core/model/signs.js';
import { addClinic } from '../../src/store/clinics.js';
import type { CourseEvent } from '../../src/store/course-record.js';
import { enrol } from '../../src/store/families.js';
import { raise } from '../../src/store/flags.js';
import { markRead, takeInbound } from '../../src/store/inbox.js';
import { addStaff, createSignInLink } from '../../src/store/staff.js';
import type { StaffRole } from '../../src/store/tables.js';
import type { World } from './world.js';

/** An invented clinic. */
export function clinicIn(world: World, name = 'Lakeside clinic'): Promise<ClinicId> {
  return addClinic(
    world.store,
    {
      name,
      timeZone: 'Africa/Kampala',
      country: 'UG',
      clinicDays: ['tuesday', 'thursday'],
      callNumber: '+15550100000',
      emergencyNumber: '999',
    },
    'toeline',
    world.clock.now(),
  );
}

export function staffIn(
  world: World,
  clinicId: ClinicId | null,
  name = 'Amina',
  role: StaffRole = 'nurse',
): Promise<StaffId> {
  return addStaff(world.store, { clinicId, name, role }, 'toeline', world.clock.now());
}

export interface Family {
  readonly childId: ChildId;
  readonly guardianId: GuardianId;
  readonly clinicId: ClinicId;
  readonly number: string;
}

let next = 100;

/** On Tuesday 10 March: day 3 of the second cast. */
export const IN_CAST: readonly CourseEvent[] = [
  { type: 'cast', date: '2026-02-28', number: 1 },
  { type: 'cast', date: '2026-03-07', number: 2 },
];

/** In brace since this day, after casts that ended the same day. */
export function inBraceSince(date: string, born = '2026-01-20'): readonly CourseEvent[] {
  return [
    { type: 'cast', date: born, number: 1 },
    { type: 'cast-removed', date },
    { type: 'brace', date },
  ];
}

export async function familyIn(
  world: World,
  clinicId: ClinicId,
  given = 'Okello',
  events: readonly CourseEvent[] = IN_CAST,
  guardian: { name?: string; language?: string } = {},
): Promise<Family> {
  next += 1;
  const number = `+15550100${next}`;
  const { childId, guardianIds } = await enrol(
    world.store,
    {
      clinicId,
      child: { givenName: given, familyName: 'Test', born: '2026-01-20', feet: ['left'] },
      guardians: [
        {
          name: guardian.name ?? `Mother of ${given}`,
          number,
          language: guardian.language ?? 'en',
          relation: 'mother',
        },
      ],
      events,
    },
    { by: 'toeline', now: world.clock.now(), plan: world.core.planCourse, aheadMs: 14 * 86_400_000 },
  );
  const [guardianId] = guardianIds;
  if (guardianId === undefined) throw new Error('enrolled without a guardian');
  return { childId, guardianId, clinicId, number };
}

/** A text of this family, stored and read, and the flag it raised. `signs` are found in the text by their words. */
export async function flagFor(
  world: World,
  family: Family,
  said: {
    text: string;
    signs: readonly [Sign, string][];
    urgency?: FlagRaised['urgency'];
    matter?: FlagRaised['matter'];
  },
): Promise<FlagId> {
  const now = world.clock.now();
  const evidence: Evidence[] = said.signs.map(([sign, words]) => {
    const start = said.text.indexOf(words);
    if (start < 0) throw new Error(`"${words}" is not in "${said.text}"`);
    return { sign, start, end: start + words.length };
  });
  const { id } = await takeInbound(
    world.store,
    'pretend',
    {
      providerId: `t${now}${Math.random()}`,
      from: family.number,
      to: '+15550100000',
      body: said.text,
      raw: said.text,
    },
    now,
  );
  const signs = said.signs.map(([sign]) => sign);
  const reading = {
    signs,
    denied: [],
    hours: null,
    intent: null,
    urgency: said.urgency ?? 'now',
    understood: 1,
    evidence,
    language: 'en',
    unread: [],
  } as const;
  await markRead(world.store, id, { reading, guardianId: family.guardianId, childId: family.childId }, now);
  const { flagId } = await raise(
    world.store,
    {
      about: { ...family },
      flag: {
        matter: said.matter ?? 'circulation',
        urgency: said.urgency ?? 'now',
        rule: 'toes-in-cast',
        reason: 'Toes discoloured and cold in a cast.',
        nextStep: 'Call now; the cast may have to come off.',
        risk: 90,
        limitMinutes: 30,
        signs,
        evidence,
      },
      dueAt: now + 30 * 60_000,
      textInId: id,
    },
    now,
  );
  return flagId;
}

export function linkFor(world: World, staffId: StaffId): Promise<string> {
  return createSignInLink(world.store, staffId, world.clock.now());
}
