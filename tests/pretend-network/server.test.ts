import { afterEach, describe, expect, test } from 'vitest';
import { PretendGateway } from '../../src/gateways/pretend/pretend.js';
import { PretendNetworkClient } from '../../src/pretend-network/client.js';
import type { Faults } from '../../src/pretend-network/faults.js';
import { startPretendNetwork } from '../../src/pretend-network/server.js';
import { deadPort, surroundings } from '../gateways/webhook-request.js';
import { startHook } from './hook.js';

const SECRET = 'a secret of the tests only';
const FAMILY = '+15550100101';
const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function rig(faults: Partial<Faults> = {}) {
  let gateway: PretendGateway | undefined;
  const hook = await startHook(() => {
    if (!gateway) throw new Error('the network called before the gateway stood');
    return gateway;
  });
  const far = await startPretendNetwork({ port: 0, toelineUrl: hook.url, secret: SECRET });
  gateway = new PretendGateway(
    'pretend',
    { url: far.url, secret: SECRET, from: '+15550100000', timeoutMs: 5_000, replayWindowSeconds: 300 },
    surroundings(),
  );
  const phones = new PretendNetworkClient(far.url, SECRET);
  await phones.setFaults({ reportDelayMs: { from: 0, to: 10 }, ...faults });
  closing.push(hook.close, far.close);
  return { gateway, hook, far, phones };
}

const outbound = (index: number, to = FAMILY) => ({ id: `ours-${index}`, to, body: `text ${index}` });

describe('the pretend network', () => {
  test('shows a text on the phone and reports it sent, then delivered', async () => {
    const { gateway, hook, phones } = await rig();
    const result = await gateway.send(outbound(1));
    await expect.poll(() => hook.reports.map((one) => one.state)).toEqual(['sent', 'delivered']);
    expect(hook.reports[0]).toMatchObject({
      ourId: 'ours-1',
      providerId: result.kind === 'accepted' && result.providerId,
    });
    expect((await phones.phone(FAMILY)).thread).toMatchObject([{ direction: 'to-family', body: 'text 1' }]);
  });

  test('carries a family’s reply to the number that texted it', async () => {
    const { gateway, hook, phones } = await rig();
    await gateway.send({ ...outbound(1), from: '+15550100077' });
    await expect.poll(() => hook.reports.length).toBe(2);
    const { providerId } = await phones.type(FAMILY, 'vidole ni bluu 🦶');
    await expect
      .poll(() => hook.texts)
      .toMatchObject([{ providerId, from: FAMILY, to: '+15550100077', body: 'vidole ni bluu 🦶' }]);
    expect((await phones.phones())[0]).toMatchObject({ number: FAMILY, texts: 2 });
  });

  test('holds a text for a phone that is off until it is on, or until it is stale', async () => {
    const { gateway, hook, phones } = await rig();
    await phones.switchPhone(FAMILY, false);
    await gateway.send(outbound(1));
    await gateway.send({ ...outbound(2), validForSeconds: 3_600 });
    await expect.poll(() => hook.reports.length).toBe(2);
    await new Promise((resolve) => setTimeout(resolve, 50));
    await phones.setAhead(3_700_000);
    await expect.poll(() => hook.reports.at(-1)).toMatchObject({ ourId: 'ours-2', state: 'expired' });
    await phones.switchPhone(FAMILY, true);
    await expect.poll(() => hook.reports.at(-1)).toMatchObject({ ourId: 'ours-1', state: 'delivered' });
    expect((await phones.phone(FAMILY)).thread).toHaveLength(1);
  });

  test('keeps calling while toeline is down and loses nothing once it is back', async () => {
    const { gateway, hook, phones } = await rig();
    await hook.close();
    await gateway.send(outbound(1));
    await phones.type(FAMILY, 'is anyone there?');
    await new Promise((resolve) => setTimeout(resolve, 400));
    const back = await startHook(() => gateway, hook.port);
    closing.push(back.close);
    await expect.poll(() => back.texts.length, { timeout: 10_000 }).toBe(1);
    await expect.poll(() => back.reports.length, { timeout: 10_000 }).toBe(2);
    await expect.poll(() => phones.callbacks()).toMatchObject({ open: 0, givenUp: 0, made: 3 });
  });

  test('passes a long text on in parts when told to, out of order', async () => {
    const { hook, phones } = await rig({ inboundInParts: true, inboundPartsShuffled: 1 });
    const body = 'ጣቶቹ ሰማያዊ ናቸው። '.repeat(8);
    await phones.type(FAMILY, body);
    await expect.poll(() => hook.texts.length).toBe(2);
    const inOrder = hook.texts.toSorted((one, other) => (one.part?.number ?? 0) - (other.part?.number ?? 0));
    expect(inOrder.map((one) => one.body).join('')).toBe(body);
    expect(new Set(hook.texts.map((one) => one.providerId)).size).toBe(2);
  });

  test('gives up a call in the end, and says so', async () => {
    const far = await startPretendNetwork({
      port: 0,
      toelineUrl: `http://127.0.0.1:${await deadPort()}/`,
      secret: SECRET,
      tryForMs: 300,
    });
    closing.push(far.close);
    const phones = new PretendNetworkClient(far.url, SECRET);
    await phones.type(FAMILY, 'hello');
    await expect.poll(() => phones.callbacks(), { timeout: 5_000 }).toMatchObject({ open: 0, givenUp: 1 });
  });

  test('doubles, loses, shuffles and fails about as often as it is told', async () => {
    const run = async () => {
      const { gateway, hook, far, phones } = await rig({
        reportDoubled: 0.3,
        reportLost: 0.1,
        reportsShuffled: 0.3,
        textFails: 0.2,
        reportDelayMs: { from: 0, to: 0 },
        seed: 7,
      });
      for (let index = 0; index < 100; index += 1) {
        await gateway.send(outbound(index));
        await expect.poll(async () => (await phones.callbacks()).open, { interval: 2 }).toBe(0);
      }
      await expect.poll(() => far.network.sent.filter((one) => one.state === 'accepted').length).toBe(0);
      const failed = hook.reports.filter((one) => one.state === 'failed');
      return { all: hook.reports.length, failed: new Set(failed.map((one) => one.ourId)).size };
    };
    const once = await run();
    expect(once.failed).toBeGreaterThan(8);
    expect(once.failed).toBeLessThan(35);
    expect(once.all).toBeGreaterThan(180);
  });

  test('opens to nobody without the secret and tells all faults of a request', async () => {
    const { far } = await rig();
    expect((await fetch(`${far.url}/phones`)).status).toBe(401);
    const answer = await fetch(`${far.url}/messages`, {
      method: 'POST',
      headers: { authorization: `Bearer ${SECRET}`, 'content-type': 'application/json' },
      body: JSON.stringify({ to: '12', body: 5 }),
    });
    expect(answer.status).toBe(400);
    expect(await answer.text()).toMatch(/id[\s\S]*\+15550100123[\s\S]*body|body[\s\S]*id/);
  });
});
