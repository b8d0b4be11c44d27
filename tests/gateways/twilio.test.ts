import { readFileSync } from 'node:fs';
import twilio from 'twilio';
import { describe, expect, test } from 'vitest';
import { readTwilioCall } from '../../src/gateways/twilio/inbound.js';
import { TwilioGateway } from '../../src/gateways/twilio/twilio.js';
import { conformance } from './conformance.js';
import { startTwilioStandIn } from './twilio-stand-in.js';
import { deadPort, posted, surroundings } from './webhook-request.js';

const TOKEN = '12345';
const SID = `AC${'0'.repeat(32)}`;
const HOOK = 'https://toeline.example/hooks/twilio';
const settings = (apiUrl: string, timeoutMs = 5_000) => ({
  accountSid: SID,
  authToken: TOKEN,
  from: '+15550100000',
  listAtMost: 10_000,
  timeoutMs,
  apiUrl,
});

function signed(params: Record<string, string>, url = HOOK, token = TOKEN) {
  const signature = twilio.getExpectedTwilioSignature(token, url, params);
  return posted(url, new URLSearchParams(params).toString(), {
    'content-type': 'application/x-www-form-urlencoded',
    'x-twilio-signature': signature,
  });
}

const text = (Body: string, MessageSid: string) => ({
  MessageSid,
  SmsStatus: 'received',
  From: '+15550100101',
  To: '+15550100000',
  NumMedia: '0',
  Body,
});

conformance(
  'the Twilio gateway',
  async () => {
    const far = await startTwilioStandIn();
    return {
      gateway: new TwilioGateway('twilio', settings(far.url), surroundings()),
      arrived: () => far.requests.map((one) => ({ to: one.get('To') ?? '', body: one.get('Body') ?? '' })),
      settle: async () => {
        far.requests.splice(0);
        far.state.mood = {};
      },
      refuseNumber: async () => {
        far.state.mood = {
          status: 400,
          code: 21_211,
          message: "The 'To' number is not a valid phone number.",
        };
      },
      throttle: async () => {
        far.state.mood = { status: 429, code: 20_429, message: 'Too Many Requests' };
      },
      loseAnswer: async () => {
        far.state.mood = { isAnswerLost: true };
      },
      pointedAtNobody: async () =>
        new TwilioGateway('twilio', settings(`http://127.0.0.1:${await deadPort()}`), surroundings()),
      textCall: (body, id) => signed(text(body, id)),
      reportCall: (MessageSid, MessageStatus) => signed({ MessageSid, MessageStatus }),
      stop: () => far.close(),
    };
  },
  {
    oldCall: 'Twilio’s scheme signs no time; a repeat is known by its MessageSid where texts are stored',
    bytesCall: 'a body that is not UTF-8 cannot match Twilio’s signature, which is made over UTF-8 text',
  },
);

interface Vector {
  readonly name: string;
  readonly authToken: string;
  readonly url: string;
  readonly params?: Record<string, string | string[]>;
  readonly body?: string;
  readonly signature: string;
  readonly expected: boolean;
}

describe('the Twilio gateway', () => {
  // Source: Twilio's documentation and the test suites of its PHP, C# and Node libraries (tests/reference/README.md).
  test('answers the published signature vectors of form calls as published', () => {
    const file = new URL('../reference/webhook-signature-vectors.json', import.meta.url);
    const { vectors } = JSON.parse(readFileSync(file, 'utf8')) as { vectors: Vector[] };
    const answers: Record<string, boolean> = {};
    const wanted: Record<string, boolean> = {};
    for (const one of vectors) {
      // Calls with a JSON body are not made for messages, and a text's call always names its MessageSid.
      if (!one.params || one.body !== undefined) continue;
      const form = new URLSearchParams();
      for (const [name, value] of Object.entries(one.params)) {
        for (const each of [value].flat()) form.append(name, each);
      }
      const read = readTwilioCall(
        posted(one.url, form.toString(), { 'x-twilio-signature': one.signature }),
        one.authToken,
      );
      answers[one.name] = read.kind !== 'not-genuine';
      wanted[one.name] = one.expected;
    }
    expect(Object.keys(answers).length).toBeGreaterThan(15);
    // Two vectors of the C# library want a signature over the lower-case host refused when the address was called in
    // mixed case. Twilio's Node library takes both, since host names have no case; forging either needs the token.
    for (const name of [
      'mixed-case-host-lower-case-signature',
      'mixed-case-host-port-lower-case-signature',
    ]) {
      expect(wanted[name]).toBe(false);
      wanted[name] = true;
    }
    expect(answers).toEqual(wanted);
  });

  test('asks for reports under an address that names our own text, and sends its time limit', async () => {
    const far = await startTwilioStandIn();
    const gateway = new TwilioGateway('twilio', settings(far.url), surroundings());
    const result = await gateway.send({
      id: 'our/1',
      to: '+15550100101',
      body: 'x',
      validForSeconds: 99_999,
    });
    expect(result).toMatchObject({ kind: 'accepted', parts: 1 });
    expect(far.requests[0]?.get('StatusCallback')).toBe(`${HOOK}?text=our%2F1`);
    expect(far.requests[0]?.get('ValidityPeriod')).toBe('36000');
    const url = `${HOOK}?text=our%2F1`;
    const read = gateway.readInbound(
      signed({ MessageSid: 'SM1', MessageStatus: 'undelivered', ErrorCode: '30006' }, url),
    );
    expect(read).toMatchObject({
      reports: [
        { providerId: 'SM1', ourId: 'our/1', state: 'failed', reason: 'wrong-number', code: '30006' },
      ],
    });
    await far.close();
  });

  test('tells apart what a refusal means', async () => {
    const far = await startTwilioStandIn();
    const gateway = new TwilioGateway('twilio', settings(far.url), surroundings());
    const meaning = async (status: number, code?: number) => {
      far.state.mood = { status, ...(code === undefined ? {} : { code }) };
      const result = await gateway.send({ id: 'ours', to: '+15550100101', body: 'x' });
      return result.kind === 'refused' ? result.reason : result.kind;
    };
    expect(await meaning(400, 21_610)).toBe('opted-out');
    expect(await meaning(400, 21_614)).toBe('wrong-number');
    expect(await meaning(400, 21_635)).toBe('wrong-number');
    expect(await meaning(400, 21_617)).toBe('too-long');
    expect(await meaning(400, 21_611)).toBe('try-later');
    expect(await meaning(401, 20_003)).toBe('not-allowed');
    expect(await meaning(429)).toBe('try-later');
    expect(await meaning(400, 99_999)).toBe('not-allowed');
    expect(await meaning(500)).toBe('unknown');
    await far.close();
  });

  test('a time-out is not a refusal', async () => {
    const far = await startTwilioStandIn();
    far.state.mood = { delayMs: 1_000 };
    const gateway = new TwilioGateway('twilio', settings(far.url, 100), surroundings());
    expect((await gateway.send({ id: 'ours', to: '+15550100101', body: 'x' })).kind).toBe('unknown');
    expect(far.requests).toHaveLength(1);
    await far.close();
  });

  test('a genuine call it does not understand is kept, and an expired text is told from a failed one', () => {
    const gateway = new TwilioGateway('twilio', settings('http://127.0.0.1:1'), surroundings());
    expect(gateway.readInbound(signed({ CallSid: 'CA1' }))).toMatchObject({
      kind: 'unreadable',
      raw: 'CallSid=CA1',
    });
    expect(gateway.readInbound(signed({ MessageSid: 'SM1' })).kind).toBe('unreadable');
    expect(
      gateway.readInbound(signed({ MessageSid: 'SM1', MessageStatus: 'failed', ErrorCode: '30036' })),
    ).toMatchObject({ reports: [{ state: 'expired' }] });
    expect(gateway.readInbound(signed(text('x', 'SM1'), HOOK, 'another token')).kind).toBe('not-genuine');
  });
});
