import { createHmac } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { PretendGateway } from '../../src/gateways/pretend/pretend.js';
import { startPretendNetwork } from '../../src/pretend-network/server.js';
import { conformance } from './conformance.js';
import { deadPort, posted, surroundings } from './webhook-request.js';

const SECRET = 'a secret of the tests only';
const NOBODY = `http://127.0.0.1:${await deadPort()}/`;
const HOOK = 'https://toeline.example/hooks/pretend';
const settings = (url: string, timeoutMs = 5_000) => ({
  url,
  secret: SECRET,
  from: '+15550100000',
  timeoutMs,
  replayWindowSeconds: 300,
});

function signed(body: Buffer | string, ageMs = 0) {
  const timestamp = String(Math.floor((Date.now() - ageMs) / 1000));
  const signature = createHmac('sha256', SECRET).update(`${timestamp}.`).update(body).digest('hex');
  return posted(HOOK, body, { 'x-pretend-timestamp': timestamp, 'x-pretend-signature': signature });
}

const text = (body: string, providerId: string) =>
  JSON.stringify({ type: 'text', providerId, from: '+15550100101', to: '+15550100000', body });

conformance(
  'the pretend gateway',
  async () => {
    const far = await startPretendNetwork({
      port: 0,
      toelineUrl: NOBODY,
      secret: SECRET,
      tryForMs: 0,
    });
    const { network } = far;
    return {
      gateway: new PretendGateway('pretend', settings(far.url), surroundings()),
      arrived: () => network.sent.map(({ to, body }) => ({ to, body })),
      settle: async () => {
        network.sent.splice(0);
        network.setFaults({});
      },
      refuseNumber: async (to) => network.setFaults({ refuse: { [to]: 'no-such-number' } }),
      throttle: async () => network.setFaults({ perSecond: 0 }),
      loseAnswer: async () => network.setFaults({ answerLost: 1 }),
      pointedAtNobody: async () =>
        new PretendGateway('nobody', settings(`http://127.0.0.1:${await deadPort()}`), surroundings()),
      textCall: (body, id) => signed(text(body, id)),
      reportCall: (providerId, state) => signed(JSON.stringify({ type: 'report', providerId, state })),
      oldCall: (agoMs) => signed(text('again', 'in-old'), agoMs),
      bytesCall: (bytes) => signed(bytes),
      stop: () => far.close(),
    };
  },
  {},
);

describe('the pretend gateway', () => {
  test('says how long to wait when throttled, and that silence is not an answer', async () => {
    const far = await startPretendNetwork({ port: 0, toelineUrl: NOBODY, secret: SECRET });
    far.network.setFaults({ perSecond: 0 });
    const gateway = new PretendGateway('pretend', settings(far.url, 200), surroundings());
    const outbound = { id: 'ours-1', to: '+15550100101', body: 'hello' };
    expect(await gateway.send(outbound)).toMatchObject({ reason: 'try-later', retryAfterSeconds: 1 });
    far.network.setFaults({ answerDelayMs: 2_000 });
    expect(await gateway.send(outbound)).toEqual({ kind: 'unknown', words: 'no answer within 200 ms' });
    expect(far.network.sent).toHaveLength(1);
    await far.close();
  });

  test('refuses with a reason for each of the network’s codes', async () => {
    const far = await startPretendNetwork({ port: 0, toelineUrl: NOBODY, secret: SECRET });
    const gateway = new PretendGateway('pretend', settings(far.url), surroundings());
    const reasons: Record<string, string> = {
      'stopped-by-family': 'opted-out',
      'no-credit': 'out-of-credit',
      'too-long': 'too-long',
      'no-route': 'unreachable',
      down: 'try-later',
    };
    for (const [code, reason] of Object.entries(reasons)) {
      far.network.setFaults({ refuse: { '*': code } });
      expect(await gateway.send({ id: 'ours-1', to: '+15550100101', body: 'x' })).toMatchObject({
        kind: 'refused',
        reason,
        code,
      });
    }
    far.network.setFaults({ refuse: { '*': 'something new' } });
    expect((await gateway.send({ id: 'ours-1', to: '+15550100101', body: 'x' })).kind).toBe('unknown');
    await far.close();
  });
});
