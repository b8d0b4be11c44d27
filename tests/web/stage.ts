import type { StaffId } from '../../src/core/model/ids.js';
import { addText } from '../../src/store/outbox.js';
import { clinicIn, type Family, familyIn, flagFor, staffIn } from './families.js';
import type { World } from './world.js';

export interface Staged {
  readonly nurse: StaffId;
  readonly family: Family;
  /** A name and an address for every page worth looking at. */
  readonly pages: Readonly<Record<string, string>>;
}

/** An invented clinic on an ordinary morning. */
export async function stage(world: World): Promise<Staged> {
  const clinic = await clinicIn(world);
  const nurse = await staffIn(world, clinic, 'Amina Nabirye');
  await staffIn(world, clinic, 'Brian Otim', 'clinician');
  const okello = await familyIn(world, clinic, 'Okello');
  const grace = await familyIn(world, clinic, 'Grace', [{ type: 'brace', date: '2026-02-18' }]);
  const daudi = await familyIn(world, clinic, 'Daudi', [{ type: 'tenotomy', date: '2026-03-03' }]);
  const layla = await familyIn(world, clinic, 'Layla', [{ type: 'brace', date: '2025-11-18' }], {
    language: 'ar',
  });
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
  return {
    nurse,
    family: okello,
    pages: {
      queue: '/queue',
      flag: `/flags/${flag}`,
      phones: '/demo/phones',
      phone: `/demo/phones/${encodeURIComponent(okello.number)}`,
      clock: '/demo/clock',
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
