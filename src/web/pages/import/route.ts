import type { ClinicId, StaffId } from '../../../core/model/ids.js';
import { enrol } from '../../../store/families.js';
import { inTransaction } from '../../../store/transaction.js';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { localDate } from '../../times.js';
import { type ReadList, type RowFault, readList, sameChild } from './rows.js';
import { ImportPage } from './view.js';

export const importRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/enrol/list', needs: 'enrol', answer: showForm },
  { method: 'POST', path: '/enrol/list', needs: 'enrol', answer: takeList },
];

async function showForm(ask: Ask): Promise<Answer> {
  return page(ask, await ask.deps.views.clinics(ask.clinicId), null);
}

function page(ask: Ask, clinics: readonly ClinicRow[], checked: ReadList | null): Answer {
  return {
    kind: 'page',
    under: 'enrol',
    status: checked !== null && checked.faults.length > 0 ? 400 : 200,
    title: ask.words.say('import.title'),
    body: ImportPage({ ask, clinics, checked }),
  };
}

/** Checks a list; enrols all of it or nothing, and only when asked to after a check without faults. */
async function takeList(ask: Ask): Promise<Answer> {
  const clinics = await ask.deps.views.clinics(ask.clinicId);
  const clinic = clinics.length === 1 ? clinics[0] : clinics.find((one) => one.id === ask.form.get('clinic'));
  if (clinic === undefined) {
    return page(ask, clinics, { rows: [], faults: [{ line: 0, fault: { key: 'enrol.fault-clinic' } }] });
  }
  const list = readList(ask.form.get('list'), clinic, localDate(ask.now, clinic.timeZone));
  const checked = { rows: list.rows, faults: [...list.faults, ...(await alreadyHere(ask, clinic, list))] };
  if (checked.faults.length > 0 || ask.form.get('do') !== 'enrol') return page(ask, clinics, checked);
  await enrolAll(ask, clinic, list);
  ask.deps.onTextsWaiting?.();
  return { kind: 'go', to: '/children', said: 'list-enrolled' };
}

/** Rows whose child the clinic has already: same given name, same day of birth. */
async function alreadyHere(ask: Ask, clinic: ClinicRow, list: ReadList): Promise<RowFault[]> {
  const known = await ask.deps.views.knownChildren({
    clinicId: clinic.id,
    children: list.rows.map(({ fields }) => ({ givenName: fields.child.givenName, born: fields.child.born })),
  });
  const names = new Set(known.map((child) => sameChild(child.givenName, child.born)));
  return list.rows
    .filter(({ fields }) => names.has(sameChild(fields.child.givenName, fields.child.born)))
    .map(({ line }) => ({ line, fault: { key: 'import.fault-here' } }));
}

async function enrolAll(ask: Ask, clinic: ClinicRow, list: ReadList): Promise<void> {
  const change = {
    by: ask.staff.id as StaffId,
    now: ask.now,
    plan: ask.deps.core.planCourse,
    aheadMs: ask.deps.planAheadMs,
  };
  const text = ask.words.say('enrol.consent-text');
  await inTransaction(ask.deps.store, async (tx) => {
    for (const { fields, consent } of list.rows) {
      await enrol(
        tx,
        {
          clinicId: clinic.id as ClinicId,
          child: fields.child,
          guardians: fields.guardians.map((guardian) => ({ ...guardian, consent: { text, ...consent } })),
          events: fields.firstCast === '' ? [] : [{ type: 'cast', date: fields.firstCast, number: 1 }],
        },
        change,
      );
    }
  });
}
