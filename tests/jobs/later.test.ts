import { describe, expect, test } from 'vitest';
import type { FlagId, StaffId } from '../../src/core/model/ids.js';
import { arrivals } from '../../src/jobs/arrive.js';
import { changeClinicSettings } from '../../src/store/clinics.js';
import { close, take } from '../../src/store/flag-work.js';
import { raise } from '../../src/store/flags.js';
import { planText } from '../../src/store/planned.js';
import { addStaff } from '../../src/store/staff.js';
import { realCore } from '../helpers/core.js';
import { storeForFile } from '../helpers/database.js';
import { DAY, HOUR, noTexts, TUESDAY_NINE as now, someClinic, someFamily } from '../helpers/family.js';
import { eventually, quiet, type TestJobs, testJobs } from '../helpers/jobs.js';

const file = storeForFile();
const core = () => ({ ...realCore(), planCourse: noTexts });

let serial = 0;
const inbound = (from: string, body: string) => {
  serial += 1;
  return { providerId: `later-${serial}`, from, to: '', body, raw: body };
};

async function family(guardians: readonly object[] = [{}]) {
  const clinicId = await someClinic(file.store);
  return { clinicId, ...(await someFamily(file.store, clinicId, { guardians })) };
}

async function askToes({ clinicId, childId }: { clinicId: never; childId: never }, guardianId: unknown) {
  await planText(file.store, {
    clinicId,
    childId,
    guardianId: guardianId as never,
    kind: 'cast-day',
    forWhat: `2026-06-02 ${String(guardianId)}`,
    dueAt: now,
    expiresAt: now + 10 * HOUR,
  });
}

async function flagsOf(childId: string) {
  const query = file.store.db
    .selectFrom('flag')
    .selectAll()
    .where('child_id', '=', childId as never);
  return query.orderBy('opened_at').execute();
}

const sentTo = (running: TestJobs, number: string | undefined) =>
  running.far.sent.filter(({ to }) => to === number).map(({ body }) => body);

describe('a family that says nothing', () => {
  test('is asked once more, gently, and then becomes a call task, at the hours its check-in says', async () => {
    const one = await family();
    await askToes(one as never, one.guardianIds[0]);
    const running = testJobs(file.store, { core: core() });
    const worker = running.start();
    await worker.planner.pass();
    await eventually(() => expect(sentTo(running, one.numbers[0])).toHaveLength(1));
    await quiet(running);
    running.moveClock(3 * HOUR);
    await worker.planner.pass();
    await eventually(() => expect(sentTo(running, one.numbers[0])).toHaveLength(2));
    await quiet(running);
    expect(await flagsOf(one.childId)).toEqual([]);
    running.moveClock(4 * HOUR);
    await worker.planner.pass();
    await eventually(async () => {
      expect((await flagsOf(one.childId)).map(({ matter }) => matter)).toEqual(['silent']);
    });
    running.moveClock(2 * DAY);
    await worker.planner.pass();
    await quiet(running);
    expect(sentTo(running, one.numbers[0])).toHaveLength(2);
    expect(await flagsOf(one.childId)).toHaveLength(1);
  });

  test('is not asked again when the answer came before the timer rang', async () => {
    const one = await family();
    await askToes(one as never, one.guardianIds[0]);
    const running = testJobs(file.store, { core: core() });
    const worker = running.start();
    await worker.planner.pass();
    await eventually(() => expect(sentTo(running, one.numbers[0])).toHaveLength(1));
    for (const _question of ['toes', 'crying', 'cast']) {
      const before = sentTo(running, one.numbers[0]).length;
      await arrivals(running.jobs).text('far-side', inbound(one.numbers[0] ?? '', '1'));
      await eventually(() => expect(sentTo(running, one.numbers[0]).length).toBe(before + 1));
      await quiet(running);
    }
    const answered = sentTo(running, one.numbers[0]).length;
    running.moveClock(2 * DAY);
    await worker.planner.pass();
    await quiet(running);
    expect(sentTo(running, one.numbers[0])).toHaveLength(answered);
    expect(await flagsOf(one.childId)).toEqual([]);
  });
});

test('one guardian’s answer ends the question that stands with the other, without a word', async () => {
  const one = await family([{}, { name: 'Aunt' }]);
  for (const guardianId of one.guardianIds) await askToes(one as never, guardianId);
  const running = testJobs(file.store, { core: core() });
  const worker = running.start();
  await worker.planner.pass();
  for (const number of one.numbers) await eventually(() => expect(sentTo(running, number)).toHaveLength(1));
  await quiet(running);
  await arrivals(running.jobs).text('far-side', inbound(one.numbers[0] ?? '', 'toes are pink and warm'));
  await eventually(async () => {
    const query = file.store.db.selectFrom('conversation').select(['guardian_id', 'state', 'wake_at']);
    const rows = await query.where('guardian_id', '=', one.guardianIds[1] as never).execute();
    expect(rows).toEqual([{ guardian_id: one.guardianIds[1], state: 'done', wake_at: null }]);
  });
  await quiet(running);
  expect(sentTo(running, one.numbers[1])).toHaveLength(1);
});

describe('a flag nobody takes', () => {
  async function onCall() {
    const one = await family();
    const staff = { clinicId: one.clinicId, role: 'nurse' as const };
    const ids: StaffId[] = [];
    for (const [name, phone] of [
      ['Amina', '+15550100701'],
      ['Bela', '+15550100702'],
      ['Dr Chandra', '+15550100703'],
    ] as const) {
      ids.push(await addStaff(file.store, { ...staff, name, phone }, 'toeline', now));
    }
    const [nurse = null, second = null, clinician = null] = ids;
    await changeClinicSettings(
      file.store,
      one.clinicId,
      { onCall: { nurse, second, clinician } },
      'toeline',
      now,
    );
    const flag = {
      matter: 'circulation',
      urgency: 'now',
      rule: 'r',
      reason: 'Blue toes.',
      nextStep: 'Call.',
    } as const;
    const about = { clinicId: one.clinicId, childId: one.childId, guardianId: null, number: null };
    const full = { ...flag, risk: 50, limitMinutes: 15, signs: [], evidence: [] };
    const { flagId } = await raise(
      file.store,
      { about, flag: full, dueAt: now + 900_000, textInId: null },
      now,
    );
    return { flagId, nurse: nurse ?? ('' as StaffId) };
  }

  async function pass(running: TestJobs, minutes: number, worker: { planner: { pass(): Promise<void> } }) {
    running.setClock(now + minutes * 60_000);
    await worker.planner.pass();
    await quiet(running);
  }

  const told = (running: TestJobs) =>
    running.far.sent.map(({ to }) => to).filter((to) => to.startsWith('+155501007'));

  test('is told to the people on call, one after another, without a child’s name, each once', async () => {
    const { flagId } = await onCall();
    const running = testJobs(file.store, { core: core() });
    const worker = running.start();
    for (let minutes = 0; minutes <= 240; minutes += 5) await pass(running, minutes, worker);
    expect(told(running)).toEqual(['+15550100701', '+15550100702', '+15550100703']);
    const said = running.far.sent.filter(({ to }) => to.startsWith('+155501007')).map(({ body }) => body);
    expect(said.join(' ')).not.toMatch(/Ada|Blue/);
    const query = file.store.db.selectFrom('flag_event').select('note').where('flag_id', '=', flagId);
    const events = await query.where('kind', '=', 'escalated').orderBy('at').execute();
    expect(events.map(({ note }) => note)).toEqual([
      expect.stringMatching(/Amina was texted/),
      expect.stringMatching(/Bela was texted/),
      expect.stringMatching(/Dr Chandra was texted/),
    ]);
  });

  test('is told to nobody more once somebody has taken it', async () => {
    const { flagId, nurse } = await onCall();
    const running = testJobs(file.store, { core: core() });
    const worker = running.start();
    await take(file.store, flagId, nurse, now);
    for (let minutes = 0; minutes <= 120; minutes += 30) await pass(running, minutes, worker);
    expect(told(running)).toEqual([]);
  });
});

test('a closed matter is told to the family once, and asked about a day later', async () => {
  const one = await family();
  const nurse = await addStaff(
    file.store,
    { clinicId: one.clinicId, name: 'N', role: 'nurse' },
    'toeline',
    now,
  );
  const running = testJobs(file.store, { core: core() });
  const worker = running.start();
  await arrivals(running.jobs).text('far-side', inbound(one.numbers[0] ?? '', 'her toes are blue and cold'));
  await eventually(async () => expect(await flagsOf(one.childId)).toHaveLength(1));
  await quiet(running);
  const [flag] = await flagsOf(one.childId);
  // The family has answered whatever was asked after the warning.
  await file.store.db.updateTable('conversation').set({ state: 'done', wake_at: null }).execute();
  const before = sentTo(running, one.numbers[0]).length;
  await close(file.store, (flag?.id ?? '') as FlagId, nurse, 'advice-given', null, now);
  await Promise.all([worker.planner.pass(), worker.planner.pass()]);
  expect(running.notes).toEqual([]);
  await eventually(() => expect(sentTo(running, one.numbers[0])).toHaveLength(before + 1));
  await worker.planner.pass();
  await quiet(running);
  expect(sentTo(running, one.numbers[0])).toHaveLength(before + 1);
  running.moveClock(DAY + 60_000);
  await worker.planner.pass();
  await eventually(() => expect(sentTo(running, one.numbers[0])).toHaveLength(before + 2));
});
