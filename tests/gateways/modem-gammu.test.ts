import { execFile } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { InboundText } from '../../src/gateways/gateway.js';
import { ModemGateway } from '../../src/gateways/modem/modem.js';
import { SETTINGS } from '../../src/gateways/modem/settings.js';
import { referenceRows } from '../core/texts/reference-tables.js';
import { startModem } from './modem-stand-in.js';
import { debianTool } from './reference-tool.js';
import { surroundings } from './webhook-request.js';

const missing = [debianTool('socat', 'socat'), debianTool('gammu', 'gammu')]
  .map((tool) => ('why' in tool ? tool.why : undefined))
  .find((one) => one !== undefined);

// Reference: gammu 1.42.0 (Debian), an unrelated program for modems. The modem these tests script is judged by it: what
// gammu can work with is a modem, and what both say over it must be the same.
describe.skipIf(missing !== undefined)(
  `gammu and toeline on one modem${missing ? ` (skipped: ${missing})` : ''}`,
  () => {
    const gammu = (path: string, ...args: string[]) => {
      const settings = join(dirname(path), 'gammurc');
      writeFileSync(settings, `[gammu]\ndevice = ${path}\nconnection = at115200\n`);
      return new Promise<string>((resolve, reject) => {
        execFile('gammu', ['-c', settings, ...args], { timeout: 20_000 }, (error, out, words) =>
          error ? reject(new Error(`${error.message} ${words}`)) : resolve(out),
        );
      });
    };
    const toeline = (path: string) =>
      new ModemGateway('modem', SETTINGS.parse({ port: path, number: '+15550100000' }), surroundings());

    test('send the same octets for the same text', async () => {
      const far = await startModem();
      const body = 'Tuesday 9:00 {brace} €5, Ωé';
      await gammu(far.path, 'sendsms', 'TEXT', '+254700000001', '-text', body, '-report');
      const gateway = toeline(far.path);
      expect((await gateway.send({ id: 'ours', to: '+254700000001', body })).kind).toBe('accepted');
      await gateway.close();
      await far.close();
      const [theirs, ours] = far.sent;
      expect(theirs?.text).toBe(body);
      expect(ours).toEqual(theirs);
    });

    test('read the same text', async () => {
      const far = await startModem();
      const pdu = referenceRows('deliver-pdus.tsv').find((one) => one[0] === 'ucs2')?.[6] ?? '';
      far.receiveQuietly(pdu);
      expect(await gammu(far.path, 'getallsms')).toContain('ሰላም ናቸው?');
      const gateway = toeline(far.path);
      const texts: InboundText[] = [];
      await gateway.listen({
        text: async (text) => void texts.push(text),
        report: async () => undefined,
        unreadable: async () => undefined,
      });
      await expect.poll(() => texts.map((one) => one.body), { timeout: 5_000 }).toEqual(['ሰላም ናቸው?']);
      await gateway.close();
      await far.close();
    });
  },
);
