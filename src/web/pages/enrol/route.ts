import type { ClinicId, StaffId } from '../../../core/model/ids.js';
import { enrol } from '../../../store/families.js';
import { addText } from '../../../store/outbox.js';
import type { Store } from '../../../store/store.js';
import { inTransaction } from '../../../store/transaction.js';
import type { ClinicRow, LikelyDuplicate } from '../../../store/views/types.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { localDate } from '../../times.js';
import { type EnrolFields, readEnrol } from './fields.js';
import { EnrolPage } from './view.js';

export const enrolRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/enrol', needs: 'enrol', answer: showForm },
  { method: 'POST', path: '/enrol', needs: 'enrol', answer: enrolChild },
];

async function showForm(ask: Ask): Promise<Answer> {
  const clinics = await ask.deps.views.clinics(ask.clinicId);
  return form(ask, clinics, [], []);
}

function form(
  ask: Ask,
  clinics: readonly ClinicRow[],
  faults: readonly Fault[],
  duplicates: readonly LikelyDuplicate[],
): Answer {
  return {
    kind: 'page',
    under: 'enrol',
    status: faults.length > 0 || duplicates.length > 0 ? 400 : 200,
    title: ask.words.say('enrol.title'),
    body: EnrolPage({ ask, clinics, faults, duplicates }),
  };
}

async function enrolChild(ask: Ask): Promise<Answer> {
  const clinics = await ask.deps.views.clinics(ask.clinicId);
  const clinic = clinics.length === 1 ? clinics[0] : clinics.find((one) => one.id === ask.form.get('clinic'));
  if (clinic === undefined) return form(ask, clinics, [{ key: 'enrol.fault-clinic' }], []);
  const read = readEnrol(ask.form, clinic, localDate(ask.now, clinic.timeZone));
  if (!read.isValid) return form(ask, clinics, read.faults, []);
  if (ask.form.get('another') !== 'yes') {
    const duplicates = await ask.deps.views.likelyDuplicates({
      clinicId: clinic.id,
      givenName: read.fields.child.givenName,
      born: read.fields.child.born,
      numbers: read.fields.guardians.map((guardian) => guardian.number),
    });
    if (duplicates.length > 0) return form(ask, clinics, [], duplicates);
  }
  const childId = await inTransaction(ask.deps.store, (tx) => save(ask, tx, clinic, read.fields));
  ask.deps.onTextsWaiting?.();
  return { kind: 'go', to: `/children/${childId}`, said: 'enrolled' };
}

/** The child, its guardians with their consent, and the first text to the phone, in one transaction. */
async function save(ask: Ask, tx: Store, clinic: ClinicRow, fields: EnrolFields): Promise<string> {
  const today = localDate(ask.now, clinic.timeZone);
  const clinicId = clinic.id as ClinicId;
  const consent = { text: ask.words.say('enrol.consent-text'), on: today, by: ask.staff.name };
  const { childId, guardianIds } = await enrol(
    tx,
    {
      clinicId,
      child: fields.child,
      guardians: fields.guardians.map((guardian) => ({ ...guardian, consent })),
      events: fields.firstCast === '' ? [] : [{ type: 'cast', date: fields.firstCast, number: 1 }],
    },
    {
      by: ask.staff.id as StaffId,
      now: ask.now,
      plan: ask.deps.core.planCourse,
      aheadMs: ask.deps.planAheadMs,
    },
  );
  if (ask.form.get('test-text') !== 'yes') return childId;
  for (const [index, guardian] of fields.guardians.entries()) {
    const values = {
      clinic: clinic.name,
      child: fields.child.calledInTexts ?? fields.child.givenName,
      call: clinic.callNumber,
      emergency: clinic.emergencyNumber,
    };
    const filled = ask.deps.core.fillWording({ wording: 'enrolled', values, language: guardian.language });
    await addText(
      tx,
      {
        key: `enrolled ${childId} ${index}`,
        clinicId,
        guardianId: guardianIds[index] ?? null,
        childId,
        to: guardian.number,
        kind: 'enrolled',
        lane: 'answer',
        promised: 'at-least-once',
        language: filled.language,
        body: filled.body,
        wording: { key: 'enrolled', values },
        // The family stands beside the nurse and waits for it.
        ignoresHours: true,
        notBefore: ask.now,
        expiresAt: null,
      },
      ask.now,
    );
  }
  return childId;
}
