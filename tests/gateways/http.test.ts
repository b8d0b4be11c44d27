import { createHmac } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { HttpGateway, httpKind } from '../../src/gateways/http/http.js';
import { SETTINGS } from '../../src/gateways/http/settings.js';
import { fillUrl } from '../../src/gateways/http/template.js';
import { conformance } from './conformance.js';
import { startProvider } from './http-stand-in.js';
import { deadPort, posted, surroundings } from './webhook-request.js';

const SECRET = 'a secret of the tests only';
const HOOK = 'https://toeline.example/hooks/local';

const settings = (url: string, more: Record<string, unknown> = {}) => ({
  from: '+15550100000',
  secrets: { token: 'tok-1' },
  send: {
    url: `${url}/v1/texts?ref={id}`,
    headers: { authorization: 'Bearer {secret.token}' },
    json: {
      to: '{to}',
      text: '{body}',
      options: { ttl: '{validForSeconds:number}', callback: '{hook}', kinds: ['sms', '{encoding}'] },
    },
    timeoutMs: 2_000,
  },
  encodings: { 'gsm-7': 'plain', 'ucs-2': 'unicode' },
  answers: [
    {
      status: [200, 299],
      where: { field: { json: 'result.status' }, is: ['ok'] },
      means: 'accepted',
      id: { json: 'result.messages.0.id' },
      parts: { json: 'result.messages.0.parts' },
    },
    {
      where: { field: { json: 'error.code' }, is: ['BAD_NUMBER'] },
      means: 'wrong-number',
      code: { json: 'error.code' },
    },
    { status: 429, means: 'try-later', retryAfterSeconds: 7 },
    { status: 402, means: 'out-of-credit' },
  ],
  calls: {
    check: {
      by: 'hmac',
      secret: SECRET,
      signature: { header: 'x-signature' },
      prefix: 'sha256=',
      over: '{timestamp}.{body}',
      timestamp: { header: 'x-timestamp' },
    },
    texts: {
      when: { field: { json: 'event' }, is: ['in'] },
      id: { json: 'id' },
      from: { json: 'from' },
      to: { json: 'to' },
      body: { json: 'text' },
      at: { json: 'at' },
    },
    reports: {
      when: { field: { json: 'event' }, is: ['status'] },
      id: { json: 'id' },
      state: { json: 'status' },
      states: { SENT: 'sent', DELIVERED: 'delivered', FAILED: 'failed' },
      code: { json: 'code' },
      reasons: { '17': 'opted-out' },
    },
  },
  ...more,
});

const gatewayFor = (url: string, more: Record<string, unknown> = {}) =>
  new HttpGateway('local', SETTINGS.parse(settings(url, more)), surroundings());

function signed(body: string | Buffer, ageMs = 0) {
  const timestamp = String(Math.floor((Date.now() - ageMs) / 1_000));
  const signature = createHmac('sha256', SECRET).update(`${timestamp}.`).update(body).digest('hex');
  return posted(HOOK, body, {
    'content-type': 'application/json',
    'x-timestamp': timestamp,
    'x-signature': `sha256=${signature}`,
  });
}
const text = (body: string, id: string) =>
  JSON.stringify({ event: 'in', id, from: '+15550100101', to: '+15550100000', text: body });
const WORDS = { sent: 'SENT', delivered: 'DELIVERED', failed: 'FAILED', nonsense: 'PURPLE' };

conformance(
  'the HTTP gateway',
  async () => {
    const far = await startProvider();
    return {
      gateway: gatewayFor(far.url),
      arrived: () =>
        far.requests.map((one) => {
          const { to, text: body } = JSON.parse(one.body) as { to: string; text: string };
          return { to, body };
        }),
      settle: async () => {
        far.requests.splice(0);
        far.state.mood = {};
      },
      refuseNumber: async () => {
        far.state.mood = { status: 400, body: { error: { code: 'BAD_NUMBER' } } };
      },
      throttle: async () => {
        far.state.mood = { status: 429 };
      },
      loseAnswer: async () => {
        far.state.mood = { isAnswerLost: true };
      },
      pointedAtNobody: async () => gatewayFor(`http://127.0.0.1:${await deadPort()}`),
      textCall: (body, id) => signed(text(body, id)),
      reportCall: (id, state) => signed(JSON.stringify({ event: 'status', id, status: WORDS[state] })),
      oldCall: (agoMs) => signed(text('again', 'in-old'), agoMs),
      bytesCall: (bytes) => signed(bytes),
      stop: () => far.close(),
    };
  },
  { list: 'there is no common way to ask a provider for its list over HTTP' },
);

describe('the HTTP gateway', () => {
  test('fills address, headers and body, and leaves out what has no value', async () => {
    const far = await startProvider();
    const gateway = gatewayFor(far.url);
    await gateway.send({ id: 'ours/1 ü', to: '+15550100101', body: 'ሰላም' });
    await gateway.send({ id: '2', to: '+15550100101', body: 'hi', validForSeconds: 90 });
    expect(far.requests[0]?.url).toBe('/v1/texts?ref=ours%2F1%20%C3%BC');
    expect(far.requests[0]?.headers.authorization).toBe('Bearer tok-1');
    expect(JSON.parse(far.requests[0]?.body ?? '').options).toEqual({
      callback: HOOK,
      kinds: ['sms', 'unicode'],
    });
    expect(JSON.parse(far.requests[1]?.body ?? '').options).toEqual({
      ttl: 90,
      callback: HOOK,
      kinds: ['sms', 'plain'],
    });
    await far.close();
  });

  test('an answer no rule knows leaves the text open, and one without an id too', async () => {
    const far = await startProvider();
    const gateway = gatewayFor(far.url);
    const send = () => gateway.send({ id: '1', to: '+15550100101', body: 'x' });
    far.state.mood = { body: { hello: 'world' } };
    expect((await send()).kind).toBe('unknown');
    far.state.mood = { body: { result: { status: 'ok', messages: [] } } };
    expect((await send()).kind).toBe('unknown');
    far.state.mood = { status: 500 };
    expect((await send()).kind).toBe('unknown');
    far.state.mood = { status: 402 };
    expect(await send()).toMatchObject({ kind: 'refused', reason: 'out-of-credit' });
    await far.close();
  });

  test('reads a list of texts in one call, and the reasons of failures', () => {
    const more = settings('http://127.0.0.1:1');
    const gateway = gatewayFor('http://127.0.0.1:1', {
      calls: {
        ...more.calls,
        texts: { ...more.calls.texts, list: 'results' },
      },
    });
    const body = JSON.stringify({
      results: [
        { event: 'in', id: '1', from: '+15550100101', to: '1', text: 'a', at: 1_795_603_120 },
        { event: 'in', id: '2', from: '+15550100102', to: '1', text: 'b' },
      ],
    });
    expect(gateway.readInbound?.(signed(body))).toMatchObject({
      texts: [
        { providerId: '1', body: 'a', at: '2026-11-25T10:38:40.000Z' },
        { providerId: '2', body: 'b' },
      ],
    });
    const failed = JSON.stringify({ event: 'status', id: '9', status: 'FAILED', code: 17 });
    expect(gateway.readInbound?.(signed(failed))).toMatchObject({
      reports: [{ providerId: '9', state: 'failed', reason: 'opted-out', code: '17' }],
    });
  });

  test('calls by GET with a secret in the query are read; broken percent signs are kept for a person', () => {
    const gateway = gatewayFor('http://127.0.0.1:1', {
      calls: {
        check: { by: 'secret', secret: SECRET, in: { query: 'token' } },
        texts: {
          from: { query: 'from' },
          to: { query: 'to' },
          body: { query: 'text' },
          at: { query: 'at' },
          sendersLackPlus: true,
        },
      },
    });
    const get = (query: string) =>
      gateway.readInbound?.({ ...posted(`${HOOK}?${query}`, '', {}), method: 'GET' });
    const token = `token=${encodeURIComponent(SECRET)}`;
    const good = `${token}&from=15550100101&to=1&text=toes+are+blue%21&at=1795603120`;
    const first = get(good);
    expect(first).toMatchObject({ texts: [{ from: '+15550100101', body: 'toes are blue!', raw: good }] });
    expect(get(good)).toEqual(first);
    const undated = `${token}&from=15550100101&to=1&text=yes`;
    const ids = [get(undated), get(undated)].map(
      (one) => one?.kind === 'genuine' && one.texts[0]?.providerId,
    );
    expect(ids[0]).not.toBe(ids[1]);
    expect(get('token=wrong&from=1&to=1&text=x')?.kind).toBe('not-genuine');
    const broken = `${token}&from=1&to=1&text=%FF`;
    expect(get(broken)).toMatchObject({ kind: 'unreadable', raw: broken });
  });

  test('all faults of its settings are told at once', () => {
    const prepared = httpKind.prepare('local', {
      from: '+15550100000',
      send: { url: 'https://a.example/{tho}', headers: { x: '{secret.missing}' }, form: {}, json: {} },
      answers: [{ status: 200, means: 'accepted' }],
      cals: {},
    });
    const faults = 'faults' in prepared ? prepared.faults.join('\n') : '';
    expect(faults).toMatch(/cals/);
    const named = httpKind.prepare('local', {
      from: '+15550100000',
      send: { url: 'https://a.example/{tho}', headers: { x: '{secret.missing}' }, form: {}, json: {} },
      answers: [{ status: 200, means: 'accepted' }],
    });
    const more = 'faults' in named ? named.faults.join('\n') : '';
    expect(more).toMatch(/\{tho\}/);
    expect(more).toMatch(/\{secret.missing\}/);
    expect(more).toMatch(/not both/);
    expect(more).toMatch(/where the provider's id stands/);
  });

  test('whatever a family’s number or a text holds, it stays inside its own parameter', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.string(), (body, id) => {
        const url = fillUrl('http://a.example/x?text={body}&id={id}&left={missing}', { body, id });
        const read = new URL(url).searchParams;
        expect([...read.keys()]).toEqual(['text', 'id']);
        expect([read.get('text'), read.get('id')]).toEqual([body, id]);
      }),
    );
  });
});
