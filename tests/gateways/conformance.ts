import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Gateway, InboundRead, SendResult, WebhookRequest } from '../../src/gateways/gateway.js';

/** A text as the far side got it. */
export interface Arrived {
  readonly to: string;
  readonly body: string;
}

/** One adapter with a far side that can misbehave on request. What a rig lacks must stand in `skips`, with its reason. */
export interface Rig {
  readonly gateway: Gateway;
  /** What has reached the far side so far. */
  arrived(): Promise<readonly Arrived[]> | readonly Arrived[];
  /** Forget what arrived and behave well again. */
  settle(): Promise<void>;
  /** Refuse the next text as a wrong number. */
  refuseNumber?(to: string): Promise<void>;
  /** Refuse because too much is sent. */
  throttle?(): Promise<void>;
  /** Take the next text, then break the line instead of answering. */
  loseAnswer?(): Promise<void>;
  /** A second gateway of this kind pointed at a port where nobody listens. */
  pointedAtNobody?(): Promise<Gateway>;
  /** A webhook call as the provider would make it for a family's text. */
  textCall?(body: string, id: string): WebhookRequest;
  /** A webhook call for a delivery report in the provider's word for this state. */
  reportCall?(providerId: string, state: 'sent' | 'delivered' | 'failed' | 'nonsense'): WebhookRequest;
  /** A genuine call, made this many ms ago. */
  oldCall?(agoMs: number): WebhookRequest;
  /** A genuine, properly signed call with these bytes as its body. */
  bytesCall?(bytes: Buffer): WebhookRequest;
  stop(): Promise<void>;
}

export type RigSkill = Exclude<keyof Rig, 'gateway' | 'arrived' | 'settle' | 'stop'> | 'list';

const TO = '+15550100101';
const BODIES = {
  plain: 'Please come on Tuesday at 9.',
  'not in the default alphabet': 'ሰላም። አማራ፣ "እግር" — “quoted” ’s',
  'outside the basic plane': 'Toes are 🦶🏽 pink 👍',
  'full of signs forms trip on': 'a+b & c=d %20 "x" \\n <y> {z} €[~]',
  'of several lines': 'First line\nSecond line',
};

/**
 * What every gateway must do, whatever it speaks to. `skips` names each thing this kind cannot show, with the reason;
 * a rig that lacks something without saying why fails.
 */
export function conformance(
  title: string,
  makeRig: () => Promise<Rig>,
  skips: Partial<Record<RigSkill, string>>,
): void {
  describe(`${title} keeps the gateway contract`, () => {
    let rig: Rig;
    let serial = 0;
    const next = () => {
      serial += 1;
      return serial;
    };
    const send = (body: string, to = TO): Promise<SendResult> =>
      rig.gateway.send({ id: `ours-${next()}`, to, body });
    beforeAll(async () => {
      rig = await makeRig();
    });
    afterAll(() => rig.stop());

    const when = (skill: RigSkill, sentence: string, act: () => Promise<void>) => {
      const why = skips[skill];
      if (why) test.skip(`${sentence} (skipped: ${why})`);
      else test(sentence, act);
    };
    const need = <Skill>(skill: Skill | undefined): Skill => {
      if (skill === undefined)
        throw new Error('The rig cannot show this and gives no reason for skipping it.');
      return skill;
    };

    for (const [what, body] of Object.entries(BODIES)) {
      test(`a text ${what} arrives once and unchanged`, async () => {
        await rig.settle();
        const result = await send(body);
        expect(result).toMatchObject({ kind: 'accepted' });
        await expect.poll(async () => (await rig.arrived()).length).toBe(1);
        expect((await rig.arrived())[0]).toEqual({ to: TO, body });
      });
    }

    test('forty texts at once each get an id of their own', async () => {
      await rig.settle();
      const results = await Promise.all(Array.from({ length: 40 }, (_, index) => send(`number ${index}`)));
      const ids = results.map((result) => (result.kind === 'accepted' ? result.providerId : result.words));
      expect(new Set(ids).size).toBe(40);
      expect(results.every((result) => result.kind === 'accepted')).toBe(true);
    });

    when(
      'refuseNumber',
      'a number that does not exist is refused as such, with the provider’s words',
      async () => {
        await rig.settle();
        await need(rig.refuseNumber?.bind(rig))('+15550100199');
        const result = await send('hello', '+15550100199');
        expect(result).toMatchObject({ kind: 'refused', reason: 'wrong-number' });
        expect(result.kind === 'refused' && result.words.length).toBeGreaterThan(0);
      },
    );

    when('throttle', 'a throttled text is to be tried later, nothing being wrong with it', async () => {
      await rig.settle();
      await need(rig.throttle?.bind(rig))();
      expect(await send('hello')).toMatchObject({ kind: 'refused', reason: 'try-later' });
    });

    when('loseAnswer', 'a text whose answer is lost may have gone out, and is said to', async () => {
      await rig.settle();
      await need(rig.loseAnswer?.bind(rig))();
      expect(await send('hello')).toMatchObject({ kind: 'unknown' });
    });

    when('pointedAtNobody', 'with nobody at the other end a text certainly did not go', async () => {
      const alone = await need(rig.pointedAtNobody?.bind(rig))();
      const result = await alone.send({ id: 'ours-alone', to: TO, body: 'hello' });
      expect(result).toMatchObject({ kind: 'refused', reason: 'try-later' });
      await alone.close();
    });

    when('textCall', 'a family’s text is read whole, whatever it holds', async () => {
      for (const body of [...Object.values(BODIES), '', ' ', 'x'.repeat(20_000)]) {
        const call = need(rig.textCall?.bind(rig))(body, `in-${next()}`);
        const texts = genuine(rig.gateway.readInbound?.(call)).texts;
        expect(texts).toHaveLength(1);
        expect(texts[0]).toMatchObject({ body, providerId: `in-${serial}`, from: TO });
        expect(texts[0]?.raw.length).toBeGreaterThan(0);
      }
    });

    when('textCall', 'a call changed on its way, or unsigned, is not genuine', async () => {
      const call = need(rig.textCall?.bind(rig))('all is well', 'in-forged');
      const changed = Buffer.from(call.rawBody.toString('latin1').replace('well', 'bad '), 'latin1');
      expect(changed.equals(call.rawBody)).toBe(false);
      expect(rig.gateway.readInbound?.({ ...call, rawBody: changed })?.kind).toBe('not-genuine');
      expect(rig.gateway.readInbound?.({ ...call, headers: {} })?.kind).toBe('not-genuine');
    });

    when('oldCall', 'a genuine call repeated an hour later is not taken again', async () => {
      const fresh = rig.gateway.readInbound?.(need(rig.oldCall?.bind(rig))(1_000));
      expect(fresh?.kind).toBe('genuine');
      const stale = rig.gateway.readInbound?.(need(rig.oldCall?.bind(rig))(3_600_000));
      expect(stale?.kind).toBe('not-genuine');
    });

    when('bytesCall', 'genuine bytes that cannot be read are kept for a person', async () => {
      const bytes = Buffer.from([0x7b, 0xff, 0xfe, 0x00, 0x22, 0x80]);
      const read = rig.gateway.readInbound?.(need(rig.bytesCall?.bind(rig))(bytes));
      expect(read).toMatchObject({ kind: 'unreadable', raw: `base64:${bytes.toString('base64')}` });
    });

    when('reportCall', 'delivery reports are read, also in words never seen before', async () => {
      const wanted = { sent: 'sent', delivered: 'delivered', failed: 'failed', nonsense: 'unknown' } as const;
      for (const word of ['sent', 'delivered', 'failed', 'nonsense'] as const) {
        const call = need(rig.reportCall?.bind(rig))('theirs-1', word);
        expect(genuine(rig.gateway.readInbound?.(call)).reports).toMatchObject([
          { providerId: 'theirs-1', state: wanted[word] },
        ]);
      }
    });

    when('list', 'the provider’s own list names what went out', async () => {
      await rig.settle();
      const result = await send('listed');
      const list = await rig.gateway.list?.(Date.now() - 60_000);
      const id = result.kind === 'accepted' ? result.providerId : 'none';
      expect(list?.sent.find((one) => one.providerId === id)).toMatchObject({ to: TO, body: 'listed' });
    });

    test('a closed gateway still answers, and closing twice is harmless', async () => {
      await rig.gateway.close();
      await rig.gateway.close();
      expect(await send('after closing')).toMatchObject({ kind: 'refused', reason: 'try-later' });
    });
  });
}

function genuine(read: InboundRead | undefined) {
  if (read?.kind !== 'genuine') throw new Error(`Expected a genuine call, got ${JSON.stringify(read)}`);
  return read;
}
