import { describe, expect, test } from 'vitest';
import type { FlagRaised } from '../../src/core/model/flag.js';
import { auditOf } from '../../src/store/audit.js';
import { addNote, close, handOver, take } from '../../src/store/flag-work.js';
import { type About, addWords, raise } from '../../src/store/flags.js';
import { addStaff } from '../../src/store/staff.js';
import { storeForFile } from '../helpers/database.js';
import { HOUR, inventedNumber, TUESDAY_NINE as now, someClinic, someFamily } from '../helpers/family.js';

const file = storeForFile();

const circulation: FlagRaised = {
  matter: 'circulation',
  urgency: 'today',
  rule: 'toes-cold',
  reason: 'The toes are cold.',
  nextStep: 'Call the family.',
  risk: 40,
  limitMinutes: 240,
  signs: ['toes-cold'],
  evidence: [{ sign: 'toes-cold', start: 0, end: 9 }],
};
const worse: FlagRaised = { ...circulation, urgency: 'now', rule: 'toes-blue', risk: 90 };
const milder: FlagRaised = { ...circulation, urgency: 'soon', risk: 5 };

async function someone(): Promise<About> {
  const clinicId = await someClinic(file.store);
  const { childId, guardianIds } = await someFamily(file.store, clinicId);
  return { clinicId, childId, guardianId: guardianIds[0] ?? null, number: null };
}

async function flagOf(id: string) {
  const query = file.store.db.selectFrom('flag').selectAll();
  return query.where('id', '=', id as never).executeTakeFirstOrThrow();
}

describe('raising', () => {
  test('many texts about one trouble make one flag, which only gets more urgent', async () => {
    const about = await someone();
    const raising = (flag: FlagRaised, dueAt: number) =>
      raise(file.store, { about, flag, dueAt, textInId: null }, now);
    const first = await raising(circulation, now + 4 * HOUR);
    const again = await raising(milder, now + 9 * HOUR);
    const third = await raising(worse, now + HOUR);
    expect([first.outcome, again.outcome, third.outcome]).toEqual(['raised', 'again', 'worse']);
    expect(new Set([first.flagId, again.flagId, third.flagId]).size).toBe(1);
    const flag = await flagOf(first.flagId);
    expect(flag).toMatchObject({ urgency: 'now', risk: 90, rule: 'toes-blue' });
    expect(flag.due_at.getTime()).toBe(now + HOUR);
  });

  test('twenty texts at the same moment make one flag with twenty lines of history', async () => {
    const about: About = { clinicId: null, childId: null, guardianId: null, number: inventedNumber() };
    const raised = await Promise.all(
      Array.from({ length: 20 }, () =>
        raise(file.store, { about, flag: circulation, dueAt: now, textInId: null }, now),
      ),
    );
    expect(raised.filter(({ outcome }) => outcome === 'raised')).toHaveLength(1);
    const id = raised[0]?.flagId ?? '';
    const events = await file.store.db
      .selectFrom('flag_event')
      .select('kind')
      .where('flag_id', '=', id as never)
      .execute();
    expect(events).toHaveLength(20);
    expect(await auditOf(file.store, `flag:${id}`)).toHaveLength(20);
  });

  test('after it was closed, the same trouble opens a new flag', async () => {
    const about = await someone();
    const nurse = await addStaff(
      file.store,
      { clinicId: about.clinicId, name: 'N', role: 'nurse' },
      'toeline',
      now,
    );
    const first = await raise(file.store, { about, flag: circulation, dueAt: now, textInId: null }, now);
    await close(file.store, first.flagId, nurse, 'family-reached', 'all well', now);
    const second = await raise(file.store, { about, flag: circulation, dueAt: now, textInId: null }, now);
    expect(second.outcome).toBe('raised');
    expect(second.flagId).not.toBe(first.flagId);
  });

  test('"better now" is added to the open flag and lowers nothing', async () => {
    const about = await someone();
    const { flagId } = await raise(file.store, { about, flag: worse, dueAt: now, textInId: null }, now);
    expect(await addWords(file.store, about, 'circulation', 'better now', null, now)).toBe(flagId);
    expect(await addWords(file.store, about, 'skin', 'better now', null, now)).toBeNull();
    expect(await flagOf(flagId)).toMatchObject({ urgency: 'now', state: 'open' });
  });
});

describe('working on a flag', () => {
  test('of two nurses who take it at once one wins and the other reads the name', async () => {
    const about = await someone();
    const names = ['Amina', 'Bela'];
    const nurses = await Promise.all(
      names.map((name) =>
        addStaff(file.store, { clinicId: about.clinicId, name, role: 'nurse' }, 'toeline', now),
      ),
    );
    const { flagId } = await raise(file.store, { about, flag: worse, dueAt: now, textInId: null }, now);
    const done = await Promise.all(nurses.map((nurse) => take(file.store, flagId, nurse, now)));
    const loser = done.find(({ kind }) => kind === 'already-taken');
    expect(done.filter(({ kind }) => kind === 'done')).toHaveLength(1);
    const winner = (await flagOf(flagId)).taken_by;
    expect(loser).toEqual({
      kind: 'already-taken',
      by: winner,
      byName: names[nurses.indexOf(winner as never)],
    });
  });

  test('every step stands in its history and in the audit', async () => {
    const about = await someone();
    const staff = { clinicId: about.clinicId, role: 'nurse' as const };
    const [amina, bela] = [
      await addStaff(file.store, { ...staff, name: 'Amina' }, 'toeline', now),
      await addStaff(file.store, { ...staff, name: 'Bela' }, 'toeline', now),
    ];
    const { flagId } = await raise(file.store, { about, flag: worse, dueAt: now, textInId: null }, now);
    await take(file.store, flagId, amina, now + 1);
    await addNote(file.store, flagId, amina, 'no answer', now + 2);
    await handOver(file.store, flagId, amina, bela, 'my shift ends', now + 3);
    await close(file.store, flagId, bela, 'seen-at-clinic', null, now + 4);
    expect(await close(file.store, flagId, amina, 'not-reached', null, now + 5)).toEqual({
      kind: 'already-closed',
      byName: 'Bela',
    });
    const events = await file.store.db
      .selectFrom('flag_event')
      .select('kind')
      .where('flag_id', '=', flagId)
      .orderBy('at')
      .execute();
    expect(events.map(({ kind }) => kind)).toEqual(['raised', 'taken', 'noted', 'handed-over', 'closed']);
    expect(await auditOf(file.store, `flag:${flagId}`)).toHaveLength(5);
    expect((await flagOf(flagId)).first_action_at?.getTime()).toBe(now + 1);
  });
});
