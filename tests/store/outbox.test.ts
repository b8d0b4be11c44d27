import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { TextOutId } from '../../src/core/model/ids.js';
import { sentOnDay, takeFromBudget } from '../../src/store/budget.js';
import { type Answer, handOver, recordAnswers } from '../../src/store/hand-over.js';
import {
  addText,
  addTexts,
  endTexts,
  markQueued,
  type NewText,
  textsToQueue,
} from '../../src/store/outbox.js';
import {
  countUnmatchedReports,
  matchCrossedReports,
  recordReport,
  recordReports,
} from '../../src/store/reports.js';
import { newId, storeForFile } from '../helpers/database.js';
import { inventedNumber, TUESDAY_NINE as now, someClinic } from '../helpers/family.js';

const file = storeForFile();

function text(change: Partial<NewText> = {}): NewText {
  return {
    key: newId(),
    clinicId: null,
    guardianId: null,
    childId: null,
    to: inventedNumber(),
    kind: 'cast-day',
    lane: 'check-in',
    promised: 'at-most-once',
    language: 'en',
    body: 'How are the toes?',
    wording: null,
    ignoresHours: false,
    notBefore: now,
    expiresAt: null,
    ...change,
  };
}

async function handedOver(): Promise<TextOutId> {
  const id = await addText(file.store, text(), now);
  if (id === null) throw new Error('The key was taken.');
  await markQueued(file.store, [id], now);
  await handOver(file.store, [{ id, gateway: 'pretend' }], now);
  return id;
}

function accepted(id: TextOutId, providerId: string): Answer {
  return { id, state: 'accepted', providerId, parts: 1, failure: null, detail: null, nextTryAt: null };
}

async function rowOf(id: TextOutId) {
  return file.store.db.selectFrom('text_out').selectAll().where('id', '=', id).executeTakeFirstOrThrow();
}

test('two texts of one key are one text, also when written at the same moment', async () => {
  const one = text();
  const ids = await Promise.all(Array.from({ length: 6 }, () => addTexts(file.store, [one], now)));
  expect(ids.flat()).toHaveLength(1);
});

test('every state a text passes stands in its ledger with its time', async () => {
  const id = await handedOver();
  await recordAnswers(file.store, [accepted(id, 'p-1')], now + 1);
  await recordReport(file.store, 'pretend', { providerId: 'p-1', state: 'delivered', raw: '{}' }, now + 2);
  const steps = await file.store.db
    .selectFrom('text_out_step')
    .selectAll()
    .where('text_out_id', '=', id)
    .execute();
  const states = ['planned', 'queued', 'handed-over', 'accepted', 'delivered'];
  expect(steps.map(({ state }) => state).sort()).toEqual([...states].sort());
  expect(steps.find(({ state }) => state === 'delivered')?.at.getTime()).toBe(now + 2);
});

test('of two workers who hand the same texts over, each text goes to one of them', async () => {
  const added = await addTexts(
    file.store,
    Array.from({ length: 40 }, () => text()),
    now,
  );
  const over = added.map(({ id }) => ({ id, gateway: 'pretend' }));
  const got = await Promise.all([
    handOver(file.store, over, now),
    handOver(file.store, [...over].reverse(), now),
  ]);
  expect((got[0]?.size ?? 0) + (got[1]?.size ?? 0)).toBe(40);
  expect(new Set(got.flatMap((set) => [...set])).size).toBe(40);
});

test('a daily budget is shared to the last text by all who take from it at once', async () => {
  const clinicId = await someClinic(file.store);
  const take = (wanted: number, atMost: number | null) =>
    takeFromBudget(file.store, clinicId, '2026-06-02', wanted, atMost);
  const granted = await Promise.all(Array.from({ length: 9 }, () => take(3, 20)));
  expect(granted.reduce((sum, one) => sum + one)).toBe(20);
  expect(await take(1, 20)).toBe(0);
  expect(await take(1, null)).toBe(1);
  expect(await sentOnDay(file.store, clinicId, '2026-06-02')).toBe(21);
});

describe('a delivery report', () => {
  test('before the answer waits for it, by our id or by theirs', async () => {
    const byOurs = await handedOver();
    await recordReport(
      file.store,
      'pretend',
      { providerId: 'x-1', ourId: byOurs, state: 'delivered', raw: '' },
      now,
    );
    await recordAnswers(file.store, [accepted(byOurs, 'x-1')], now);
    expect(await rowOf(byOurs)).toMatchObject({ state: 'delivered', provider_id: 'x-1' });

    const byTheirs = await handedOver();
    await recordReport(file.store, 'pretend', { providerId: 'x-2', state: 'delivered', raw: '' }, now);
    expect((await rowOf(byTheirs)).state).toBe('handed-over');
    await recordAnswers(file.store, [accepted(byTheirs, 'x-2')], now);
    expect((await rowOf(byTheirs)).state).toBe('delivered');
  });

  test('that crossed with the answer, each unseen by the other, is matched by the sweep', async () => {
    const id = await handedOver();
    await file.store.db.updateTable('text_out').set({ provider_id: 'x-3' }).where('id', '=', id).execute();
    await file.store.db
      .insertInto('delivery_report')
      .values({
        id: newId(),
        gateway: 'pretend',
        provider_id: 'x-3',
        state: 'delivered',
        raw: '',
        received_at: new Date(now),
      })
      .execute();
    expect(await matchCrossedReports(file.store, now)).toBe(1);
    expect((await rowOf(id)).state).toBe('delivered');
  });

  test('about a text nobody sent is kept and counted', async () => {
    const before = await countUnmatchedReports(file.store);
    const stray = {
      providerId: newId(),
      ourId: 'not even an id',
      state: 'delivered' as const,
      raw: '\0 odd',
    };
    await recordReport(file.store, 'pretend', stray, now);
    await recordReport(file.store, 'pretend', stray, now);
    expect(await countUnmatchedReports(file.store)).toBe(before + 1);
  });

  test('of failure asks for care once, and not after a delivery', async () => {
    const id = await handedOver();
    await recordAnswers(file.store, [accepted(id, 'x-4')], now);
    const failed = { providerId: 'x-4', state: 'failed' as const, reason: 'wrong-number', raw: '' };
    await recordReport(file.store, 'pretend', failed, now);
    expect(await rowOf(id)).toMatchObject({ state: 'failed', failure: 'wrong-number', needs_care: true });
    await recordReport(file.store, 'pretend', { providerId: 'x-4', state: 'delivered', raw: '' }, now);
    expect(await rowOf(id)).toMatchObject({ state: 'delivered', needs_care: false });
  });

  test('and the answer may come in any order, repeated and at once: the end is the same', async () => {
    const events = ['answer', 'accepted', 'sent', 'delivered', 'delivered', 'unknown'] as const;
    const order = fc.shuffledSubarray([...events], { minLength: events.length });
    await fc.assert(
      fc.asyncProperty(order, fc.boolean(), async (shuffled, isAtOnce) => {
        const id = await handedOver();
        const providerId = newId<string>();
        const run = async (event: (typeof events)[number]) => {
          if (event === 'answer') return recordAnswers(file.store, [accepted(id, providerId)], now);
          const report = { providerId, ourId: id, state: event, raw: '' };
          return recordReports(
            file.store,
            [
              { gateway: 'pretend', report },
              { gateway: 'pretend', report },
            ],
            now,
          );
        };
        if (isAtOnce) await Promise.all(shuffled.map(run));
        else for (const event of shuffled) await run(event);
        expect(await rowOf(id)).toMatchObject({ state: 'delivered', provider_id: providerId });
      }),
      { numRuns: 25 },
    );
  });
});

test('the walk through what is waiting meets every text once, also many of one instant', async () => {
  const at = now + 500_000;
  const added = await addTexts(
    file.store,
    Array.from({ length: 25 }, () => text({ notBefore: at })),
    now,
  );
  const met: string[] = [];
  for (let after = { at: at - 1, id: '00000000-0000-0000-0000-000000000000' }; ; ) {
    const page = await textsToQueue(file.store, at + 1, after, 7);
    met.push(...page.map(({ id }) => id));
    const last = page.at(-1);
    if (last === undefined) break;
    after = last;
  }
  expect(met.sort()).toEqual(added.map(({ id }) => id).sort());
});

test('a text that was ended does not go, and says why', async () => {
  const id = await addText(file.store, text(), now);
  if (id === null) throw new Error('The key was taken.');
  await endTexts(file.store, [{ id, state: 'dropped', why: 'its time had passed' }], now);
  expect((await handOver(file.store, [{ id, gateway: 'a' }], now)).size).toBe(0);
  expect(await rowOf(id)).toMatchObject({ state: 'dropped', error: 'its time had passed' });
});
