import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { encodeSeptets } from '../../src/core/texts/gsm-alphabet.js';
import type { DeliveryReport, InboundText } from '../../src/gateways/gateway.js';
import { SETTINGS } from '../../src/gateways/smpp/settings.js';
import { SmppGateway } from '../../src/gateways/smpp/smpp.js';
import { madeSureOf, succeeds } from './reference-tool.js';
import { surroundings } from './webhook-request.js';

const script = fileURLToPath(new URL('far-sides/smsc.pl', import.meta.url));

const missing = madeSureOf('libnet-smpp-perl', () => succeeds('perl', '-MNet::SMPP', '-e', '1'));
const why = missing ? ` (skipped: ${missing})` : '';

// Reference: Perl's Net::SMPP 1.19 (Debian libnet-smpp-perl) on the other end of the line.
describe.skipIf(missing !== undefined)(`the SMPP gateway against an SMSC on Net::SMPP${why}`, () => {
  let child: ChildProcess;
  let gateway: SmppGateway;
  const lines: Record<string, unknown>[] = [];
  const texts: InboundText[] = [];
  const reports: DeliveryReport[] = [];

  beforeAll(async () => {
    child = spawn('perl', [script], { stdio: ['ignore', 'pipe', 'inherit'] });
    const out = createInterface({ input: child.stdout ?? process.stdin });
    out.on('line', (line) => lines.push(JSON.parse(line) as Record<string, unknown>));
    await new Promise((resolve) => out.once('line', resolve));
    const settings = SETTINGS.parse({
      host: '127.0.0.1',
      port: lines[0]?.port,
      systemId: 'clinic',
      password: 'secret',
      from: '+15550100000',
      answerWithinSeconds: 5,
    });
    gateway = new SmppGateway('smpp', settings, surroundings());
    await gateway.listen({
      text: async (text) => void texts.push(text),
      report: async (report) => void reports.push(report),
      unreadable: async (raw) => {
        throw new Error(raw);
      },
    });
  });
  afterAll(async () => {
    await gateway?.close();
    child?.kill('SIGTERM');
  });
  /** What it was sent so far. It tells of each on its own output, which may come after its answer on the line. */
  const submits = async (count: number) => {
    const told = () => lines.filter((line) => 'octets' in line);
    await expect.poll(() => told().length).toBeGreaterThanOrEqual(count);
    return told();
  };

  test('binds, sends, and its receipt is understood', async () => {
    const body = 'Toes: pink {ok} 5 €';
    const result = await gateway.send({ id: 'ours-1', to: '+15550100101', body, validForSeconds: 3_600 });
    expect(result).toEqual({ kind: 'accepted', providerId: 'perl-1', parts: 1 });
    const [first] = await submits(1);
    expect(lines[1]).toEqual({ bind: 'transceiver', version: 0x34, as: 'clinic' });
    expect(first).toEqual({
      to: '15550100101',
      from: '15550100000',
      ton: 1,
      coding: 0,
      class: 0,
      validity: '000000010000000R',
      octets: Buffer.from(encodeSeptets(body) ?? []).toString('hex'),
    });
    await expect.poll(() => reports).toMatchObject([{ providerId: 'perl-1', state: 'delivered' }]);
  });

  test('sends a long text in parts that carry their place, in the wide alphabet', async () => {
    const body = 'ሰላም። የልጅዎ እግር እንዴት ነው? '.repeat(4);
    expect(await gateway.send({ id: 'ours-2', to: '+15550100101', body })).toMatchObject({ parts: 2 });
    const parts = (await submits(3)).slice(-2).map((one) => Buffer.from(String(one.octets), 'hex'));
    expect(parts.map((one) => [...one.subarray(0, 3), ...one.subarray(4, 6)])).toEqual([
      [5, 0, 3, 2, 1],
      [5, 0, 3, 2, 2],
    ]);
    const joined = Buffer.concat(parts.map((one) => one.subarray(6)))
      .swap16()
      .toString('utf16le');
    expect(joined).toBe(body);
    await expect.poll(() => reports.at(-1)).toMatchObject({ providerId: 'perl-2', state: 'delivered' });
  });

  test('takes a phone’s answer and acknowledges it', async () => {
    await gateway.send({ id: 'ours-3', to: '+15550100101', body: 'All well?' });
    await expect.poll(() => texts).toMatchObject([{ from: '+15550100101', to: '+15550100000', body: 'ሰሰላ' }]);
    await expect.poll(() => lines.filter((line) => line.answered === 0).length).toBeGreaterThanOrEqual(4);
  });

  test('a hundred texts at once all pass, each receipt finding its text', async () => {
    const results = await Promise.all(
      Array.from({ length: 100 }, (_, index) =>
        gateway.send({ id: `many-${index}`, to: '+15550100102', body: `text ${index}` }),
      ),
    );
    const ids = results.map((one) => (one.kind === 'accepted' ? one.providerId : one.words));
    expect(new Set(ids).size).toBe(100);
    await expect
      .poll(() =>
        ids.every((id) => reports.some((one) => one.providerId === id && one.state === 'delivered')),
      )
      .toBe(true);
  });
});
