import { expect, test } from 'vitest';
import { recordEvent, replaceEvent, withdrawEvent } from '../../src/store/course-events.js';
import type { CourseText } from '../../src/store/course-record.js';
import { findByNumber } from '../../src/store/families.js';
import { planNextChildren } from '../../src/store/planned.js';
import { storeForFile } from '../helpers/database.js';
import {
  DAY,
  fixedCourse,
  HOUR,
  inventedNumber,
  noTexts,
  TUESDAY_NINE as now,
  someClinic,
  someFamily,
} from '../helpers/family.js';

const file = storeForFile();

const reminder = (forWhat: string, dueAt: number): CourseText => ({
  kind: 'visit-tomorrow',
  forWhat,
  dueAt,
  expiresAt: dueAt + 12 * HOUR,
});

async function textsOf(childId: string) {
  const rows = await file.store.db
    .selectFrom('planned_text')
    .select(['for_what', 'state', 'due_at'])
    .where('child_id', '=', childId as never)
    .orderBy('for_what')
    .execute();
  return rows.map((row) => [row.for_what, row.state, row.due_at.getTime()]);
}

const by = { by: 'toeline' as const, aheadMs: 14 * DAY };

test('a new event moves, adds and withdraws texts; a sent one is left alone', async () => {
  const clinicId = await someClinic(file.store);
  const plan = fixedCourse(['a', 'b', 'c'].map((name) => reminder(name, now + DAY)));
  const { childId } = await someFamily(file.store, clinicId, { plan });
  await file.store.db
    .updateTable('planned_text')
    .set({ state: 'sent' })
    .where('for_what', '=', 'c')
    .execute();
  const moved = fixedCourse([
    reminder('a', now + 2 * DAY),
    reminder('c', now + 2 * DAY),
    reminder('d', now + DAY),
  ]);
  await recordEvent(file.store, childId, { type: 'visit', date: '2026-06-02' }, { ...by, now, plan: moved });
  expect(await textsOf(childId)).toEqual([
    ['a', 'planned', now + 2 * DAY],
    ['b', 'withdrawn', now + DAY],
    ['c', 'sent', now + DAY],
    ['d', 'planned', now + DAY],
  ]);
  // Back to the first course: a withdrawn text is wanted again.
  await recordEvent(file.store, childId, { type: 'missed', date: '2026-06-02' }, { ...by, now, plan });
  expect((await textsOf(childId)).map(([name, state]) => `${name} ${state}`)).toEqual([
    'a planned',
    'b planned',
    'c sent',
    'd withdrawn',
  ]);
});

test('corrected and withdrawn events leave the course but stay in the history', async () => {
  const clinicId = await someClinic(file.store);
  const { childId } = await someFamily(file.store, clinicId);
  const seen: string[][] = [];
  const plan: typeof noTexts = (record, from, until) => {
    seen.push(record.events.map((event) => `${event.type} ${event.date} ${event.number}`));
    return noTexts(record, from, until);
  };
  const change = { ...by, now, plan };
  const first = await recordEvent(
    file.store,
    childId,
    { type: 'cast', date: '2026-06-01', number: 1 },
    change,
  );
  const second = await replaceEvent(
    file.store,
    first,
    { type: 'cast', date: '2026-06-02', number: 1 },
    change,
  );
  await withdrawEvent(file.store, second, change);
  expect(seen).toEqual([['cast 2026-06-01 1'], ['cast 2026-06-02 1'], []]);
  await expect(withdrawEvent(file.store, second, change)).rejects.toThrow(/already corrected or withdrawn/);
  const rows = await file.store.db
    .selectFrom('course_event')
    .select('id')
    .where('child_id', '=', childId)
    .execute();
  expect(rows).toHaveLength(2);
});

test('siblings share a phone: one number leads to both children', async () => {
  const clinicId = await someClinic(file.store);
  const number = inventedNumber();
  const guardians = [{ name: 'Grace', number }];
  const first = await someFamily(file.store, clinicId, { guardians });
  const second = await someFamily(file.store, clinicId, { guardians: [{ name: 'GRACE', number }] });
  const people = await findByNumber(file.store, number);
  expect(people).toHaveLength(1);
  expect([...(people[0]?.childIds ?? [])].sort()).toEqual([first.childId, second.childId].sort());
  expect(await findByNumber(file.store, inventedNumber())).toEqual([]);
});

test('planners who work at once share the children between them, each planned once', async () => {
  const clinicId = await someClinic(file.store);
  for (let child = 0; child < 12; child += 1) await someFamily(file.store, clinicId);
  const later = now + 13 * DAY;
  const planned: string[] = [];
  const plan: typeof noTexts = (record, from, until) => {
    planned.push(record.child.id);
    return noTexts(record, from, until);
  };
  const horizon = { now: later, aheadMs: 14 * DAY, plan, limit: 3 };
  const drain = async () => {
    while ((await planNextChildren(file.store, horizon)) > 0);
  };
  await Promise.all([drain(), drain(), drain()]);
  expect(planned.length).toBeGreaterThanOrEqual(12);
  expect(new Set(planned).size).toBe(planned.length);
});

test('a course that changes tomorrow is looked at again tomorrow, not over and over today', async () => {
  const clinicId = await someClinic(file.store);
  const tomorrow = now + DAY;
  let looks = 0;
  const plan: typeof noTexts = (record, from, until) => {
    looks += 1;
    return { ...noTexts(record, from, until), nextChange: from < tomorrow ? tomorrow : null };
  };
  await someFamily(file.store, clinicId, { plan });
  const pass = async (at: number) => {
    for (let count = 0; count < 50; count += 1) {
      const horizon = { now: at, aheadMs: 14 * DAY, plan, limit: 1 };
      if ((await planNextChildren(file.store, horizon)) === 0) return;
    }
    throw new Error('It is planned for ever.');
  };
  looks = 0;
  await pass(now + 60_000);
  expect(looks).toBe(0);
  await pass(tomorrow);
  expect(looks).toBeGreaterThan(0);
  const [row] = await file.store.db
    .selectFrom('child')
    .select('planned_until')
    .where('clinic_id', '=', clinicId)
    .execute();
  expect(row?.planned_until.getTime()).toBe(tomorrow + 7 * DAY);
});

test('what the course alerts to is said once, however often the child is planned, and again when it is something new', async () => {
  const clinicId = await someClinic(file.store);
  const alert = (reason: string) =>
    ({
      dueAt: now,
      flag: {
        matter: 'course',
        urgency: 'soon',
        rule: 'r',
        reason,
        nextStep: 'Look.',
        risk: 1,
        limitMinutes: 60,
        signs: [],
        evidence: [],
      },
    }) as const;
  const withAlerts = (...reasons: string[]): typeof noTexts => {
    return (record, from, until) => ({ ...noTexts(record, from, until), alerts: reasons.map(alert) });
  };
  const { childId } = await someFamily(file.store, clinicId, { plan: withAlerts('one', 'two') });
  const event = { type: 'visit', date: '2026-06-02' };
  await recordEvent(file.store, childId, event, { ...by, now, plan: withAlerts('one', 'two') });
  await recordEvent(file.store, childId, event, { ...by, now, plan: withAlerts('two', 'three') });
  const events = await file.store.db
    .selectFrom('flag_event')
    .innerJoin('flag', 'flag.id', 'flag_event.flag_id')
    .select(['flag_event.kind', 'flag_event.note'])
    .where('flag.child_id', '=', childId)
    .orderBy('flag_event.id')
    .execute();
  expect(events.map(({ kind, note }) => `${kind} ${note}`)).toEqual([
    'raised one',
    'again two',
    'again three',
  ]);
});

test('a number that is none and a child without a guardian are both named', async () => {
  const clinicId = await someClinic(file.store);
  await expect(someFamily(file.store, clinicId, { guardians: [] })).rejects.toThrow(/at least one guardian/);
  const guardians = [
    { name: 'Ann', number: '0772 000' },
    { name: 'Bob', number: 'x' },
  ];
  await expect(someFamily(file.store, clinicId, { guardians })).rejects.toThrow(/Ann.*Bob/);
});
