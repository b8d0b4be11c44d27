import { afterEach, describe, expect, test } from 'vitest';
import type { DeliveryReport, InboundSink, InboundText } from '../../src/gateways/gateway.js';
import { SmppGateway } from '../../src/gateways/smpp/smpp.js';
import { smppSettings as settings, startSmsc } from './smsc-stand-in.js';
import { surroundings } from './webhook-request.js';

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

function keeper(fails = 0) {
  const texts: InboundText[] = [];
  const reports: DeliveryReport[] = [];
  const unreadable: string[] = [];
  let failing = fails;
  const sink: InboundSink = {
    text: async (text) => {
      failing -= 1;
      if (failing >= 0) throw new Error('the store is down');
      texts.push(text);
    },
    report: async (report) => void reports.push(report),
    unreadable: async (raw) => void unreadable.push(raw),
  };
  return { texts, reports, unreadable, sink };
}

async function rig(more: Record<string, unknown> = {}, notes: string[] = []) {
  const far = await startSmsc();
  const gateway = new SmppGateway('smpp', settings(far.port, more), surroundings(notes));
  closing.push(far.close, () => gateway.close());
  return { far, gateway };
}

const outbound = (body: string) => ({ id: 'ours', to: '+15550100101', body });
const inbound = (fields: Record<string, unknown>) => ({
  source_addr: '15550100101',
  source_addr_ton: 1,
  destination_addr: '15550100000',
  dest_addr_ton: 1,
  esm_class: 0,
  data_coding: 0,
  ...fields,
});

describe('the SMPP gateway', () => {
  test('binds as version 3.4: a transmitter while it only sends, a transceiver once it listens', async () => {
    const { far, gateway } = await rig();
    await gateway.send(outbound('x'));
    expect(far.binds.map((one) => [one.command, one.interface_version])).toEqual([
      ['bind_transmitter', 0x34],
    ]);
    await gateway.listen(keeper().sink);
    await expect.poll(() => far.binds.at(-1)?.command).toBe('bind_transceiver');
  });

  test('cuts a long text by header, and speaks of it as one text with one report', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    far.state.mood = { receipts: 'after' };
    const body = 'የልጅዎ ጣቶች ቀለም ምን ይመስላል? '.repeat(5);
    const result = await gateway.send(outbound(body));
    expect(result).toMatchObject({ kind: 'accepted', providerId: 'm-1', parts: 2 });
    expect(far.texts()).toEqual([{ to: '+15550100101', body }]);
    expect(far.submits[0]).toMatchObject({ data_coding: 8, esm_class: 0x40, registered_delivery: 1 });
    await expect
      .poll(() => kept.reports.map((one) => [one.providerId, one.state]))
      .toEqual([
        ['m-1', 'sent'],
        ['m-1', 'delivered'],
      ]);
  });

  test('knows a receipt that overtakes the answer to its submit', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    far.state.mood = { receipts: 'before' };
    await gateway.send(outbound('x'.repeat(200)));
    await expect.poll(() => kept.reports.at(-1)).toMatchObject({ providerId: 'm-1', state: 'delivered' });
  });

  test('a text one of whose later parts is refused may have gone out in part, and is said to', async () => {
    const { far, gateway } = await rig();
    far.state.mood = { status: 0x0b, statusAfter: 1 };
    const result = await gateway.send(outbound('x'.repeat(200)));
    expect(result).toMatchObject({ kind: 'unknown' });
    expect(result.kind === 'unknown' && result.words).toMatch(/only 1 of 2 parts went/);
  });

  test('reads families’ texts in every alphabet, in parts by header and by fields', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    await expect.poll(() => far.binds.length).toBe(1);
    far.deliver(inbound({ short_message: Buffer.from([0x61, 0x1b, 0x65, 0x00]) }));
    far.deliver(inbound({ data_coding: 8, short_message: Buffer.from('ጣቶች 👍', 'utf16le').swap16() }));
    far.deliver(inbound({ data_coding: 3, short_message: Buffer.from('doigt gelé', 'latin1') }));
    far.deliver(
      inbound({
        esm_class: 0x40,
        short_message: Buffer.from([5, 0, 3, 9, 2, 1, 0x68, 0x69]),
        data_coding: 0,
      }),
    );
    far.deliver(
      inbound({
        short_message: Buffer.from('ho'),
        sar_msg_ref_num: 700,
        sar_total_segments: 3,
        sar_segment_seqnum: 2,
      }),
    );
    far.deliver(inbound({ short_message: Buffer.alloc(0), message_payload: Buffer.from('y'.repeat(900)) }));
    far.deliver(inbound({ short_message: Buffer.alloc(0) }));
    await expect.poll(() => kept.texts.length).toBe(7);
    expect(kept.texts.map((one) => one.body)).toEqual([
      'a€@',
      'ጣቶች 👍',
      'doigt gelé',
      'hi',
      'ho',
      'y'.repeat(900),
      '',
    ]);
    expect(kept.texts[3]?.part).toEqual({ ref: 9, total: 2, number: 1 });
    expect(kept.texts[4]?.part).toEqual({ ref: 700, total: 3, number: 2 });
    expect(kept.texts[0]).toMatchObject({ from: '+15550100101', to: '+15550100000' });
    expect(new Set(kept.texts.map((one) => one.providerId)).size).toBe(7);
  });

  test('answers a text only once it is stored, and otherwise lets it come again', async () => {
    const { far, gateway } = await rig();
    const kept = keeper(1);
    await gateway.listen(kept.sink);
    await expect.poll(() => far.binds.length).toBe(1);
    far.deliver(inbound({ short_message: Buffer.from('help') }));
    await expect.poll(() => far.answers).toEqual([0x64]);
    far.deliver(inbound({ short_message: Buffer.from('help') }));
    await expect.poll(() => far.answers).toEqual([0x64, 0]);
    expect(kept.texts).toHaveLength(1);
  });

  test('a receipt that names nothing is kept for a person', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    await expect.poll(() => far.binds.length).toBe(1);
    far.deliver(inbound({ esm_class: 4, short_message: Buffer.from('who knows') }));
    await expect.poll(() => far.answers).toEqual([0]);
    expect(kept.unreadable).toHaveLength(1);
  });

  test('is silent after "throttled", and keeps to "queue full" for that text alone', async () => {
    const notes: string[] = [];
    const { far, gateway } = await rig({}, notes);
    far.state.mood = { status: 0x14 };
    expect(await gateway.send(outbound('x'))).toMatchObject({ reason: 'try-later', retryAfterSeconds: 30 });
    far.state.mood = {};
    expect((await gateway.send(outbound('x'))).kind).toBe('accepted');
    far.state.mood = { status: 0x58 };
    expect(await gateway.send(outbound('x'))).toMatchObject({ reason: 'try-later', retryAfterSeconds: 60 });
    far.state.mood = {};
    const before = far.submits.length;
    const waiting = await gateway.send(outbound('x'));
    expect(waiting).toMatchObject({ kind: 'refused', reason: 'try-later', words: 'throttled a moment ago' });
    expect(far.submits.length).toBe(before);
    expect(notes.join()).toMatch(/throttles/);
  });

  test('the provider’s own codes mean what the settings say', async () => {
    const { far, gateway } = await rig({ statusMeanings: { '0x401': 'out-of-credit' } });
    far.state.mood = { status: 0x401 };
    expect(await gateway.send(outbound('x'))).toMatchObject({ reason: 'out-of-credit', code: '0x401' });
  });

  test('an answer that never comes leaves the text open', async () => {
    const { far, gateway } = await rig({ answerWithinSeconds: 1 });
    far.state.mood = { isMute: true };
    expect(await gateway.send(outbound('x'))).toEqual({ kind: 'unknown', words: 'no answer within 1 s' });
  });

  test('comes back after the line breaks', async () => {
    const notes: string[] = [];
    const { far, gateway } = await rig({}, notes);
    await gateway.listen(keeper().sink);
    await expect.poll(() => far.binds.length).toBe(1);
    far.sessions.at(-1)?.destroy();
    await expect.poll(() => far.binds.length, { timeout: 5_000 }).toBe(2);
    expect((await gateway.send(outbound('x'))).kind).toBe('accepted');
    expect(notes.join()).toMatch(/is down/);
  });

  test('cuts a line that has gone dead and makes a new one', async () => {
    const { far, gateway } = await rig({ enquireAfterSeconds: 1, answerWithinSeconds: 1 });
    await gateway.send(outbound('x'));
    far.sessions.at(-1)?.removeAllListeners('enquire_link');
    await expect.poll(() => far.binds.length, { timeout: 10_000 }).toBe(2);
  });

  test('says when system id or password is wrong', async () => {
    const notes: string[] = [];
    const { gateway } = await rig({ password: 'wrong' }, notes);
    await gateway.listen(keeper().sink);
    await expect.poll(() => notes.join()).toMatch(/bind refused with 0x0e: check system id and password/);
  });

  test('keeps to the window and to the rate of the contract', async () => {
    const { far, gateway } = await rig({ window: 3, perSecond: 20 });
    await gateway.send(outbound('first'));
    const start = performance.now();
    await Promise.all(Array.from({ length: 10 }, () => gateway.send(outbound('x'))));
    expect(performance.now() - start).toBeGreaterThan(400);
    far.state.mood = { isMute: true };
    const stuck = Array.from({ length: 8 }, () => gateway.send(outbound('stuck')));
    await new Promise((resolve) => setTimeout(resolve, 600));
    expect(far.submits.length - 11).toBe(3);
    await gateway.close();
    expect((await Promise.all(stuck)).filter((one) => one.kind === 'unknown')).toHaveLength(3);
  });
});
