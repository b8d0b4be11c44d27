import { createHmac } from 'node:crypto';
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { startWorld, type World } from './world.js';

const SECRET = 'a-secret-for-tests-only';
let world: World;

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
});
afterAll(() => world.close());

/** A call as the pretend network makes it, with any bytes for a body. */
function call(body: Buffer | string, change: { secret?: string; path?: string } = {}): Promise<Response> {
  const bytes = Buffer.from(body);
  const timestamp = String(Math.floor(Date.now() / 1000));
  const signature = createHmac('sha256', change.secret ?? SECRET)
    .update(`${timestamp}.`)
    .update(bytes)
    .digest('hex');
  return fetch(`${world.url}${change.path ?? '/hooks/pretend'}`, {
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      'x-pretend-timestamp': timestamp,
      'x-pretend-signature': signature,
    },
    body: bytes,
  });
}

const text = (providerId: string, body: string, from = '+15550100777') =>
  JSON.stringify({ type: 'text', providerId, from, to: '+15550100000', body });

const stored = (providerId: string) =>
  world.store.db.selectFrom('text_in').selectAll().where('provider_id', '=', providerId).execute();

describe('a webhook', () => {
  test('stores a text before it answers, and answers within 100 ms (median of 20)', async () => {
    const took: number[] = [];
    for (let i = 0; i < 20; i += 1) {
      const started = performance.now();
      const answer = await call(text(`fast-${i}`, `toes are cold ${i}`));
      took.push(performance.now() - started);
      expect(answer.ok).toBe(true);
      expect(await stored(`fast-${i}`)).toMatchObject([{ body: `toes are cold ${i}` }]);
    }
    expect(took.sort((a, b) => a - b)[10]).toBeLessThan(100);
  });

  test('with a bad signature is answered 403 and keeps nothing', async () => {
    expect((await call(text('forged', 'blue toes'), { secret: 'another-secret-entirely' })).status).toBe(403);
    expect(await stored('forged')).toEqual([]);
    expect(world.notes.some((note) => note.includes('was not genuine'))).toBe(true);
  });

  test('to a gateway nobody set up is answered 404', async () => {
    expect((await call(text('lost', 'x'), { path: '/hooks/nobody' })).status).toBe(404);
  });

  test('from an unknown number, with an empty text, or with 20,000 characters is stored whole', async () => {
    const long = 'ü'.repeat(20_000);
    expect((await call(text('unknown', 'who are you', '+15550199999'))).ok).toBe(true);
    expect((await call(text('empty', ''))).ok).toBe(true);
    expect((await call(text('long', long))).ok).toBe(true);
    expect((await stored('unknown'))[0]?.from_number).toBe('+15550199999');
    expect((await stored('empty'))[0]?.body).toBe('');
    expect((await stored('long'))[0]?.body).toBe(long);
  });

  test('brought twice, also at once, is one text', async () => {
    const answers = await Promise.all([1, 2, 3].map(() => call(text('twice', 'again'))));
    expect(answers.map((answer) => answer.ok)).toEqual([true, true, true]);
    expect(await stored('twice')).toHaveLength(1);
  });

  test('that is genuine but not understood, or no UTF-8, is kept for a person and answered 200', async () => {
    expect((await call('{"type":"novelty"}')).status).toBe(200);
    expect((await call(Buffer.from([0x7b, 0xff, 0xfe, 0x00]))).status).toBe(200);
    const kept = await world.store.db
      .selectFrom('text_in')
      .select(['raw', 'note'])
      .where('provider_id', 'like', 'unreadable-%')
      .execute();
    expect(kept.map((row) => row.raw)).toContain('{"type":"novelty"}');
    expect(kept.length).toBe(2);
  });

  test('with a report for a text nobody sent is recorded', async () => {
    const report = { type: 'report', providerId: 'nobody-sent-this', state: 'delivered' };
    expect((await call(JSON.stringify(report))).ok).toBe(true);
    const rows = await world.store.db
      .selectFrom('delivery_report')
      .select(['state', 'text_out_id'])
      .where('provider_id', '=', 'nobody-sent-this')
      .execute();
    expect(rows).toEqual([{ state: 'delivered', text_out_id: null }]);
  });

  test('that is too large is answered 413 and its beginning is kept', async () => {
    const answer = await call(text('huge', 'a'.repeat(200_000)));
    expect(answer.status).toBe(413);
    const kept = await world.store.db
      .selectFrom('text_in')
      .select(['raw', 'note'])
      .where('note', 'like', 'A request larger%')
      .execute();
    expect(kept).toHaveLength(1);
    expect(kept[0]?.raw).toContain('"providerId":"huge"');
  });

  test('broken off in the middle harms nothing', async () => {
    const { port } = new URL(world.url);
    await new Promise<void>((resolve) => {
      const socket = connect(Number(port), '127.0.0.1', () => {
        socket.write('POST /hooks/pretend HTTP/1.1\r\nHost: x\r\nContent-Length: 500\r\n\r\n{"type":');
        setTimeout(() => {
          socket.destroy();
          resolve();
        }, 50);
      });
    });
    expect((await fetch(`${world.url}/healthz`)).status).toBe(200);
  });

  test('is answered 503 when it cannot be stored, so that nothing is lost in silence', async () => {
    await world.store.db.schema.alterTable('text_in').renameTo('text_in_away').execute();
    try {
      expect((await call(text('later', 'blue toes'))).status).toBe(503);
    } finally {
      await world.store.db.schema.alterTable('text_in_away').renameTo('text_in').execute();
    }
    expect((await call(text('later', 'blue toes'))).ok).toBe(true);
    expect(await stored('later')).toHaveLength(1);
  });
});

test('health says the process lives, readiness says whether it can work', async () => {
  expect((await fetch(`${world.url}/healthz`)).status).toBe(200);
  const ready = await fetch(`${world.url}/readyz`);
  expect(ready.status).toBe(200);
  expect(await ready.json()).toEqual({ parts: [{ part: 'database', isWell: true, words: 'answers' }] });
});
