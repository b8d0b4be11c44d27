import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MISSING_PART, WAIT_FOR_PARTS_MS } from '../../src/core/texts/join-parts.js';
import { type Arrived, markFailed, takeInbound, unreadTexts } from '../../src/store/inbox.js';
import { joinStoredParts, overdueParts } from '../../src/store/parts.js';
import { fromKept, kept, readable } from '../../src/store/storable.js';
import { newId, storeForFile } from '../helpers/database.js';
import { inventedNumber, TUESDAY_NINE as now } from '../helpers/family.js';

const file = storeForFile();

function arrived(change: Partial<Arrived> = {}): Arrived {
  const body = change.body ?? 'toes are blue';
  return { providerId: newId(), from: inventedNumber(), to: '+15550100900', body, raw: body, ...change };
}

async function rowOf(id: string) {
  return file.store.db
    .selectFrom('text_in')
    .selectAll()
    .where('id', '=', id as never)
    .executeTakeFirstOrThrow();
}

describe('a text that arrives', () => {
  test('more than once with the same provider id, also at the same moment, is one text', async () => {
    const text = arrived();
    const taken = await Promise.all(Array.from({ length: 8 }, () => takeInbound(file.store, 'a', text, now)));
    expect(taken.filter(({ isNew }) => isNew)).toHaveLength(1);
    expect(new Set(taken.map(({ id }) => id)).size).toBe(1);
  });

  test('by two gateways within minutes is read once, and both rows are kept', async () => {
    const text = arrived();
    const taken = await Promise.all([
      takeInbound(file.store, 'a', text, now),
      takeInbound(file.store, 'b', { ...text, providerId: 'another' }, now + 60_000),
    ]);
    expect(taken.filter(({ isNew }) => isNew)).toHaveLength(1);
    const rows = await file.store.db
      .selectFrom('text_in')
      .select('state')
      .where('from_number', '=', text.from)
      .execute();
    expect(rows.map(({ state }) => state).sort()).toEqual(['joined', 'stored']);
  });

  test('twice by one gateway with two provider ids is two texts: a family may say "ok" twice', async () => {
    const text = arrived({ body: 'ok' });
    const first = await takeInbound(file.store, 'a', text, now);
    const second = await takeInbound(file.store, 'a', { ...text, providerId: 'other' }, now + 1_000);
    expect([first.isNew, second.isNew]).toEqual([true, true]);
  });

  test('with NUL, half a surrogate pair, nothing at all or 20,000 characters is stored whole', async () => {
    const nul = String.fromCharCode(0);
    for (const body of [`a${nul}b`, 'broken \uD83D pair \\u0000', '', 'x'.repeat(20_000)]) {
      const { id } = await takeInbound(file.store, 'a', arrived({ body, providerId: newId() + body }), now);
      const row = await rowOf(id);
      expect(fromKept(row.raw)).toBe(body);
      expect(row.body).toBe(readable(body));
    }
  });

  test('that cannot be read stays in sight until it is given up to a person', async () => {
    const { id } = await takeInbound(file.store, 'a', arrived(), now);
    expect(await markFailed(file.store, id, 'broken', false)).toBe(1);
    expect((await unreadTexts(file.store, now, 1_000)).map((row) => row.id)).toContain(id);
    expect(await markFailed(file.store, id, 'broken again', true)).toBe(2);
    expect(await rowOf(id)).toMatchObject({ state: 'failed', attempts: 2, error: 'broken again' });
  });
});

test('whatever arrives can be kept and given back exactly', () => {
  const anything = fc.string({
    unit: fc.integer({ min: 0, max: 0xffff }).map((code) => String.fromCharCode(code)),
  });
  fc.assert(
    fc.property(anything, (raw) => {
      expect(fromKept(kept(raw))).toBe(raw);
      expect(kept(raw)).not.toContain(String.fromCharCode(0));
      // Throws on half a surrogate pair.
      expect(() => encodeURIComponent(kept(raw) + readable(raw))).not.toThrow();
    }),
  );
});

describe('the parts of a long text', () => {
  const part = (from: string, number: number, body: string, ref = 7): Arrived =>
    arrived({ from, body, part: { ref, number, total: 3 } });
  const whole = (from: string) => ({
    gateway: 'a',
    from_number: from,
    to_number: '+15550100900',
    part_ref: 7,
    part_total: 3,
  });

  test('are joined in their order whatever the order in which they come', async () => {
    const from = inventedNumber();
    await takeInbound(file.store, 'a', part(from, 3, 'are cold'), now);
    await takeInbound(file.store, 'a', part(from, 1, 'since noon '), now + 1);
    expect(await joinStoredParts(file.store, whole(from), now + 1)).toEqual([]);
    await takeInbound(file.store, 'a', part(from, 2, 'her toes '), now + 2);
    const ids = (
      await Promise.all([1, 2].map(() => joinStoredParts(file.store, whole(from), now + 2)))
    ).flat();
    const [id] = ids;
    expect(ids).toHaveLength(1);
    expect(await rowOf(id ?? '')).toMatchObject({
      body: 'since noon her toes are cold',
      note: null,
      state: 'stored',
    });
  });

  test('are read without the missing one once it has been waited for long enough, and the gap is said', async () => {
    const from = inventedNumber();
    await takeInbound(file.store, 'a', part(from, 1, 'the cast '), now);
    await takeInbound(file.store, 'a', part(from, 3, 'off'), now + 1);
    const later = now + WAIT_FOR_PARTS_MS + 1;
    const overdue = await overdueParts(file.store, later);
    expect(overdue).toContainEqual(whole(from));
    const [id] = await joinStoredParts(file.store, whole(from), later);
    const row = await rowOf(id ?? '');
    expect(row).toMatchObject({ body: `the cast ${MISSING_PART}off`, note: 'Part 2 of 3 did not arrive.' });
  });
});
