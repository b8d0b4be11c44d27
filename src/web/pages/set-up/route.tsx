import type { ClinicId, StaffId } from '../../../core/model/ids.js';
import { changeClinicHours } from '../../../store/clinic-hours.js';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { readHours } from './fields.js';
import { type Moved, movedVisits } from './moved-visits.js';
import { SetUpPage } from './view.js';

export const setUpRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/set-up', needs: 'set-up', answer: (ask) => show(ask, [], null) },
  { method: 'POST', path: '/set-up', needs: 'set-up', answer: change },
];

async function show(ask: Ask, faults: readonly Fault[], moved: Moved | null): Promise<Answer> {
  const clinics = await ask.deps.views.clinics(ask.clinicId);
  const clinic = chosen(ask, clinics);
  if (clinic === undefined) return { kind: 'missing' };
  return {
    kind: 'page',
    under: 'set-up',
    status: faults.length > 0 ? 400 : 200,
    title: ask.words.say('set-up.title'),
    body: <SetUpPage ask={ask} clinic={clinic} clinics={clinics} faults={faults} moved={moved} />,
  };
}

function chosen(ask: Ask, clinics: readonly ClinicRow[]): ClinicRow | undefined {
  const id = ask.form.get('clinic') || (ask.query.get('clinic') ?? '');
  return id === '' ? clinics[0] : clinics.find((one) => one.id === id);
}

/** Shows whose visits would move; saves only when that has been seen. */
async function change(ask: Ask): Promise<Answer> {
  const clinic = chosen(ask, await ask.deps.views.clinics(ask.clinicId));
  if (clinic === undefined) return { kind: 'missing' };
  const read = readHours(ask.form, [...ask.deps.protocols.keys()]);
  if (!read.isValid) return show(ask, read.faults, null);
  if (ask.form.get('do') !== 'save') return show(ask, [], await movedVisits(ask, clinic, read.change));
  const by = ask.staff.id as StaffId;
  await changeClinicHours(ask.deps.store, clinic.id as ClinicId, read.change, by, ask.now);
  ask.deps.onTextsWaiting?.();
  return { kind: 'go', to: `/set-up?clinic=${clinic.id}`, said: 'set-up-saved' };
}
