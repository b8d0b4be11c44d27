import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { swapped } from '../../src/core/texts/pdu/address.js';
import { hexOf } from '../../src/core/texts/pdu/octets.js';
import type { DeliveryReport, InboundSink, InboundText } from '../../src/gateways/gateway.js';
import { ModemGateway } from '../../src/gateways/modem/modem.js';
import { SETTINGS } from '../../src/gateways/modem/settings.js';
import { referenceRows } from '../core/texts/reference-tables.js';
import { startModem } from './modem-stand-in.js';
import { debianTool } from './reference-tool.js';
import { surroundings } from './webhook-request.js';

const tool = debianTool('socat', 'socat');
const why = 'why' in tool ? ` (skipped: ${tool.why})` : '';

const settings = (port: string, more: Record<string, unknown> = {}) =>
  SETTINGS.parse({ port, number: '+15550100000', ...more });

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

function keeper() {
  const texts: InboundText[] = [];
  const reports: DeliveryReport[] = [];
  const unreadable: string[] = [];
  const state = { isDown: false };
  const sink: InboundSink = {
    text: async (text) => {
      if (state.isDown) throw new Error('the store is down');
      texts.push(text);
    },
    report: async (report) => void reports.push(report),
    unreadable: async (raw) => void unreadable.push(raw),
  };
  return { texts, reports, unreadable, state, sink };
}

async function rig(more: Record<string, unknown> = {}, mood = {}) {
  const far = await startModem();
  far.state.mood = mood;
  const notes: string[] = [];
  const gateway = new ModemGateway('modem', settings(far.path, more), surroundings(notes));
  closing.push(far.close, () => gateway.close());
  return { far, gateway, notes };
}

const outbound = (body: string, to = '+254700000001') => ({ id: 'ours', to, body });
const pduOf = (kind: string): string => {
  const row = referenceRows('deliver-pdus.tsv').find((one) => one[0] === kind);
  if (!row?.[6]) throw new Error(`no reference PDU "${kind}"`);
  return row[6];
};
/** A status report (3GPP TS 23.040 section 9.2.2.3) for this reference and phone. */
const statusReport = (reference: number, digits: string, status: string) =>
  `0006${hexOf([reference, digits.length, 0x91, ...swapped(digits)])}62115290410021${'62115290510021'}${status}`;

describe.skipIf(why !== '')(`the modem gateway${why}`, () => {
  test('sets the modem up in PDU mode and takes what was in its memory', async () => {
    const { far, gateway } = await rig();
    far.receiveQuietly(pduOf('plain'));
    far.receiveQuietly(pduOf('ucs2'));
    const kept = keeper();
    await gateway.listen(kept.sink);
    await expect.poll(() => kept.texts.map((one) => one.body)).toEqual(['Hello', 'ሰላም ናቸው?']);
    expect(kept.texts[0]).toMatchObject({
      from: '+254700000001',
      to: '+15550100000',
      at: '2026-11-25T09:14:00+00:00',
    });
    await expect.poll(() => far.shelf('SM').size).toBe(0);
    expect(far.commands).toContain('AT+CMGF=0');
  });

  test('takes an announced text, parts with their place, and names a repeat the same', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    await expect.poll(() => far.commands.at(-1)).toBe('AT+CMGL=4');
    far.receive(pduOf('concat ucs2 part 2'));
    far.receive(pduOf('concat ucs2 part 1'));
    await expect.poll(() => kept.texts.length).toBe(2);
    expect(kept.texts.map((one) => one.part?.number).sort()).toEqual([1, 2]);
    far.handThrough(pduOf('concat ucs2 part 1'));
    await expect.poll(() => kept.texts.length).toBe(3);
    expect(new Set(kept.texts.map((one) => one.providerId)).size).toBe(2);
  });

  test('deletes nothing from the modem that is not stored, and tries again', async () => {
    const { far, gateway, notes } = await rig({ lookEverySeconds: 1 });
    const kept = keeper();
    kept.state.isDown = true;
    await gateway.listen(kept.sink);
    far.receiveQuietly(pduOf('plain'));
    await expect.poll(() => notes.join(), { timeout: 5_000 }).toMatch(/kept to be tried again/);
    far.handThrough(pduOf('ucs2'));
    expect(far.shelf('SM').size).toBe(1);
    kept.state.isDown = false;
    await expect.poll(() => kept.texts.length, { timeout: 5_000 }).toBe(2);
    await expect.poll(() => far.shelf('SM').size).toBe(0);
  });

  test('empties a memory that is full, whose modem says so in its own way', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    await expect.poll(() => far.commands.at(-1)).toBe('AT+CMGL=4');
    for (let index = 0; index < 20; index += 1) far.receiveQuietly(pduOf('plain'));
    expect(far.shelf('SM').size).toBe(20);
    far.say('^SMMEMFULL: "SM"');
    await expect.poll(() => far.shelf('SM').size).toBe(0);
    expect(kept.texts).toHaveLength(20);
    expect(new Set(kept.texts.map((one) => one.providerId)).size).toBe(1);
  });

  test('keeps a PDU it cannot read for a person', async () => {
    const { far, gateway } = await rig();
    const kept = keeper();
    await gateway.listen(kept.sink);
    far.receiveQuietly('00FF');
    await expect.poll(() => kept.unreadable.length).toBe(1);
    far.receive('07915274000000F0040C91527400');
    await expect.poll(() => kept.unreadable).toEqual(['00FF', '07915274000000F0040C91527400']);
  });

  for (const reports of ['kept', 'through'] as const) {
    test(`understands status reports that the modem has ${reports}`, async () => {
      const { far, gateway } = await rig({}, { reports });
      const kept = keeper();
      await gateway.listen(kept.sink);
      const result = await gateway.send(outbound('የልጅዎ ጣቶች ቀለም ምን ይመስላል? '.repeat(4)));
      expect(result).toMatchObject({ kind: 'accepted', parts: 2 });
      const providerId = result.kind === 'accepted' ? result.providerId : '';
      far.report(statusReport(far.lastReference(), '254700000001', '00'));
      await expect.poll(() => kept.reports.at(-1)).toMatchObject({ providerId, state: 'sent' });
      far.report(statusReport(far.lastReference() - 1, '254700000001', '00'));
      await expect.poll(() => kept.reports.at(-1)).toMatchObject({ providerId, state: 'delivered' });
      far.report(statusReport(3, '254700000001', '46'));
      await expect
        .poll(() => kept.reports.at(-1))
        .toMatchObject({ providerId: 'modem-forgotten-3', state: 'expired' });
    });
  }

  test('remembers over a restart which text a reference stood for', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'toeline-references-'));
    closing.push(async () => rmSync(folder, { recursive: true, force: true }));
    const { far, gateway } = await rig({ referencesFile: join(folder, 'references.json') });
    const result = await gateway.send(outbound('x'));
    await gateway.close();
    const again = new ModemGateway(
      'modem',
      settings(far.path, { referencesFile: join(folder, 'references.json') }),
      surroundings(),
    );
    closing.push(() => again.close());
    const kept = keeper();
    await again.listen(kept.sink);
    await expect.poll(() => far.commands.filter((one) => one === 'AT+CMGL=4').length).toBeGreaterThan(0);
    far.report(statusReport(far.lastReference(), '254700000001', '00'));
    await expect
      .poll(() => kept.reports)
      .toMatchObject([{ providerId: result.kind === 'accepted' && result.providerId, state: 'delivered' }]);
  });

  test('is unplugged and comes back', async () => {
    const { far, gateway, notes } = await rig({ lookEverySeconds: 1 });
    const kept = keeper();
    await gateway.listen(kept.sink);
    expect((await gateway.send(outbound('before'))).kind).toBe('accepted');
    await far.pull();
    await expect.poll(() => notes.join(), { timeout: 5_000 }).toMatch(/is gone/);
    far.receiveQuietly(pduOf('plain'));
    await far.plugIn();
    await expect.poll(() => kept.texts.length, { timeout: 20_000 }).toBe(1);
    expect((await gateway.send(outbound('after'))).kind).toBe('accepted');
  });

  test('a modem that falls silent after taking a text leaves it open, and is started anew', async () => {
    const { far, gateway, notes } = await rig({ sendWithinSeconds: 5 });
    far.state.mood = { isMute: true };
    expect((await gateway.send(outbound('x'))).kind).toBe('unknown');
    far.state.mood = {};
    expect(notes.join()).toMatch(/starting it anew/);
    await expect
      .poll(async () => (await gateway.send(outbound('y'))).kind, { timeout: 20_000 })
      .toBe('accepted');
  });

  test('tells an empty SIM from a wrong number, as its network answers', async () => {
    const { far, gateway } = await rig({ codeMeanings: { 21: 'out-of-credit' } });
    far.state.mood = { refusal: '+CMS ERROR: 21' };
    expect(await gateway.send(outbound('x'))).toMatchObject({ reason: 'out-of-credit', code: '21' });
    far.state.mood = { refusal: '+CMS ERROR: 1' };
    expect(await gateway.send(outbound('x'))).toMatchObject({ reason: 'wrong-number' });
    far.state.mood = { refusal: '+CMS ERROR: 332' };
    expect((await gateway.send(outbound('x'))).kind).toBe('unknown');
    far.state.mood = { refusal: 'ERROR' };
    expect((await gateway.send(outbound('x'))).kind).toBe('unknown');
    far.state.mood = {};
    expect(await gateway.send(outbound('x', 'Clinic'))).toMatchObject({ reason: 'wrong-number' });
  });

  test('asks for the credit', async () => {
    const { gateway } = await rig(
      { balanceCode: '*144#', balanceUnit: 'KES' },
      { balance: 'Salio: 12,50 KES' },
    );
    expect(await gateway.balance?.()).toEqual({ amount: 12.5, unit: 'KES' });
  });

  test('enters the PIN, and again after the modem was unplugged', async () => {
    const { far, gateway } = await rig({ pin: '1234' }, { sim: 'SIM PIN' });
    expect((await gateway.send(outbound('x'))).kind).toBe('accepted');
    await far.pull();
    await far.plugIn();
    await expect
      .poll(async () => (await gateway.send(outbound('y'))).kind, { timeout: 20_000 })
      .toBe('accepted');
    expect(far.commands.filter((one) => one.startsWith('AT+CPIN='))).toHaveLength(2);
  });

  test('tries a wrong PIN once only, and says what to do', async () => {
    const { far, gateway } = await rig({ pin: '9999' }, { sim: 'SIM PIN' });
    const result = await gateway.send(outbound('x'));
    expect(result).toMatchObject({ kind: 'refused', reason: 'not-allowed' });
    expect(result.kind === 'refused' && result.words).toMatch(/correct "pin" and restart/);
    await new Promise((resolve) => setTimeout(resolve, 3_000));
    expect(far.commands.filter((one) => one.startsWith('AT+CPIN='))).toHaveLength(1);
  });
});
