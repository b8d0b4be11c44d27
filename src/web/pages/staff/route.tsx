import type { ClinicId, StaffId } from '../../../core/model/ids.js';
import { addStaff, createSignInLink } from '../../../store/staff.js';
import { setStaffActive } from '../../../store/staff-work.js';
import type { StaffListRow } from '../../../store/views/types.js';
import { isId } from '../../form.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { ROLES } from '../../roles.js';
import { toE164 } from '../enrol/fields.js';
import { StaffPage } from './view.js';

export const staffRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/set-up/staff', needs: 'manage-staff', answer: (ask) => show(ask, {}) },
  { method: 'POST', path: '/set-up/staff', needs: 'manage-staff', answer: add },
  { method: 'POST', path: '/set-up/staff/:staff/link', needs: 'manage-staff', answer: makeLink },
  { method: 'POST', path: '/set-up/staff/:staff/active', needs: 'manage-staff', answer: setActive },
];

async function show(
  ask: Ask,
  more: { faults?: readonly Fault[]; link?: { name: string; address: string } },
): Promise<Answer> {
  const [staff, clinics] = await Promise.all([
    ask.deps.views.staffList(ask.clinicId),
    ask.deps.views.clinics(ask.clinicId),
  ]);
  const faults = more.faults ?? [];
  return {
    kind: 'page',
    under: 'set-up',
    status: faults.length > 0 ? 400 : 200,
    title: ask.words.say('set-up.staff'),
    body: <StaffPage ask={ask} staff={staff} clinics={clinics} faults={faults} link={more.link ?? null} />,
  };
}

async function add(ask: Ask): Promise<Answer> {
  const faults: Fault[] = [];
  const name = ask.form.get('name').slice(0, 80);
  const role = ROLES.find((one) => one === ask.form.get('role'));
  const clinics = await ask.deps.views.clinics(ask.clinicId);
  const wanted = ask.form.get('clinic');
  // Only who works for all clinics may let somebody in for all clinics.
  const clinic = wanted === 'all' && ask.clinicId === null ? null : clinics.find((one) => one.id === wanted);
  const phone = ask.form.get('phone');
  const number = phone === '' ? null : toE164(phone, clinics[0]?.country ?? 'US');
  if (name === '') faults.push({ key: 'staff.fault-name' });
  if (role === undefined) faults.push({ key: 'staff.fault-role' });
  if (clinic === undefined) faults.push({ key: 'enrol.fault-clinic' });
  if (phone !== '' && number === null) faults.push({ key: 'enrol.fault-g1-number' });
  if (faults.length > 0 || role === undefined || clinic === undefined) return show(ask, { faults });
  const clinicId = (clinic?.id ?? null) as ClinicId | null;
  await addStaff(ask.deps.store, { clinicId, name, role, phone: number }, ask.staff.id as StaffId, ask.now);
  return { kind: 'go', to: '/set-up/staff', said: 'staff-added' };
}

async function find(ask: Ask): Promise<StaffListRow | undefined> {
  const id = ask.params.staff ?? '';
  if (!isId(id)) return undefined;
  return (await ask.deps.views.staffList(ask.clinicId)).find((one) => one.id === id);
}

/** A fresh one-time link, shown once, to be handed over in person or read out. */
async function makeLink(ask: Ask): Promise<Answer> {
  const person = await find(ask);
  if (person === undefined || !person.isActive) return { kind: 'missing' };
  const token = await createSignInLink(ask.deps.store, person.id as StaffId, ask.now);
  const address = `${ask.deps.config.publicUrl}/sign-in?link=${token}`;
  return show(ask, { link: { name: person.name, address } });
}

async function setActive(ask: Ask): Promise<Answer> {
  const person = await find(ask);
  if (person === undefined) return { kind: 'missing' };
  if (person.id === ask.staff.id) return show(ask, { faults: [{ key: 'staff.fault-self' }] });
  const by = ask.staff.id as StaffId;
  await setStaffActive(ask.deps.store, person.id as StaffId, !person.isActive, by, ask.now);
  return { kind: 'go', to: '/set-up/staff', said: person.isActive ? 'staff-gone' : 'staff-back' };
}
