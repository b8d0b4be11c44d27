import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { DeliveryReport, InboundText } from '../../src/gateways/gateway.js';
import { HttpGateway } from '../../src/gateways/http/http.js';
import { SETTINGS } from '../../src/gateways/http/settings.js';
import { debianTool } from './reference-tool.js';
import { deadPort, surroundings } from './webhook-request.js';

const tools = [debianTool('bearerbox', 'kannel'), debianTool('test/fakesmsc', 'kannel-extras')];
const missing = tools.map((tool) => ('why' in tool ? tool.why : undefined)).find((one) => one !== undefined);
const [box = '', phone = ''] = tools.map((tool) => ('path' in tool ? tool.path : ''));
const why = missing ? ` (skipped: ${missing})` : '';

const TOKEN = 'a-token-of-the-tests-only';
const FAMILY = '+15550100101';

// Reference: Kannel 1.4.5, a full SMS gateway (Debian kannel), with its own pretend SMSC as the mobile network
// (Debian kannel-extras).
describe.skipIf(missing !== undefined)(`the HTTP gateway against Kannel${why}`, () => {
  const folder = mkdtempSync(join(tmpdir(), 'toeline-kannel-'));
  const started: ChildProcess[] = [];
  const texts: InboundText[] = [];
  const reports: DeliveryReport[] = [];
  const notGenuine: string[] = [];
  let network = '';
  let hook: Server;
  let gateway: HttpGateway;
  let networkPort = 0;

  const start = (path: string, ...args: string[]): ChildProcess => {
    const child = spawn(path, args, { stdio: ['ignore', 'pipe', 'pipe'], cwd: folder });
    started.push(child);
    return child;
  };
  const answering = async (url: string) => {
    for (let tries = 0; tries < 100; tries += 1) {
      const isUp = await fetch(url).then(
        () => true,
        () => false,
      );
      if (isUp) return;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    throw new Error(`${url} never came up`);
  };
  /** The mobile network: shows what reaches phones, and sends these texts from phones. */
  const phones = (...messages: string[]) => {
    const args = ['-v', '0', '-H', '127.0.0.1', '-r', String(networkPort), '-i', '0.2'];
    const child = start(phone, ...args, '-m', String(messages.length), ...messages);
    child.stderr?.on('data', (chunk: Buffer) => {
      network += chunk.toString();
    });
    return child;
  };

  beforeAll(async () => {
    hook = createServer((request, response) => {
      const url = `https://toeline.example${request.url}`;
      const { headers } = request;
      const read = gateway.readInbound?.({
        method: 'GET',
        url,
        path: new URL(url).pathname,
        headers,
        rawBody: Buffer.alloc(0),
        remote: '127.0.0.1',
      });
      if (read?.kind === 'genuine') {
        texts.push(...read.texts);
        reports.push(...read.reports);
      } else notGenuine.push(JSON.stringify(read));
      response.end();
    });
    await new Promise<void>((resolve) => hook.listen(0, '127.0.0.1', resolve));
    const hookUrl = `http://127.0.0.1:${(hook.address() as AddressInfo).port}`;
    const adminPort = await deadPort();
    const boxPort = await deadPort();
    const sendPort = await deadPort();
    networkPort = await deadPort();
    writeFileSync(
      join(folder, 'kannel.conf'),
      `group = core
admin-port = ${adminPort}
smsbox-port = ${boxPort}
admin-password = test
box-allow-ip = "127.0.0.1"
dlr-storage = internal

group = smsc
smsc = fake
smsc-id = FAKE
port = ${networkPort}
connect-allow-ip = 127.0.0.1

group = smsbox
bearerbox-host = 127.0.0.1
sendsms-port = ${sendPort}

group = sendsms-user
username = toeline
password = secret-of-tests
concatenation = true
max-messages = 10

group = sms-service
keyword = default
catch-all = true
max-messages = 0
get-url = "${hookUrl}/hooks/kannel?token=${TOKEN}&from=%p&to=%P&text=%a&id=%I&at=%T"
`,
    );
    gateway = new HttpGateway('kannel', SETTINGS.parse(kannelSettings(sendPort)), {
      ...surroundings(),
      publicUrl: hookUrl,
    });
    start(box, 'kannel.conf');
    await answering(`http://127.0.0.1:${adminPort}/status.txt?password=test`);
    start(box.replace('bearerbox', 'smsbox'), 'kannel.conf');
    await answering(`http://127.0.0.1:${sendPort}/`);
    phones(`${FAMILY} 15550100000 text toes are blue & cold`);
  });
  afterAll(async () => {
    for (const child of started.reverse()) child.kill('SIGKILL');
    await new Promise((resolve) => hook?.close(resolve));
    rmSync(folder, { recursive: true, force: true });
  });

  test('a family’s text reaches toeline through it', async () => {
    await expect.poll(() => texts, { timeout: 10_000 }).toHaveLength(1);
    expect(texts[0]).toMatchObject({ from: FAMILY, to: '15550100000', body: 'toes are blue & cold' });
    expect(Math.abs(Date.parse(texts[0]?.at ?? '') - Date.now())).toBeLessThan(60_000);
  });

  test('texts in both alphabets reach the phone, with receipts that name ours', async () => {
    const plain = await gateway.send({ id: 'ours-1', to: FAMILY, body: 'Tuesday 9:00 & bring {brace} €5' });
    expect(plain).toMatchObject({ kind: 'accepted', providerId: 'ours-1' });
    const wide = await gateway.send({ id: 'ours-2', to: FAMILY, body: 'ሰላም' });
    expect(wide.kind).toBe('accepted');
    await expect.poll(() => network, { timeout: 10_000 }).toMatch(/ucs-2 %120%12%0B%12%1D/);
    expect(network).toContain('<15550100000 +15550100101 text Tuesday 9:00 & bring {brace} €5>');
    for (const ourId of ['ours-1', 'ours-2']) {
      await expect
        .poll(() => reports.filter((one) => one.ourId === ourId).map((one) => one.state), { timeout: 10_000 })
        .toContain('delivered');
    }
    expect(notGenuine).toEqual([]);
  });

  test('a wrong password, and a text to nobody, are refused as what they are', async () => {
    const port = Number(/:(\d+)\//.exec(sendUrl)?.[1]);
    const wrong = { ...kannelSettings(port), secrets: { password: 'wrong', token: TOKEN } };
    const other = new HttpGateway('kannel', SETTINGS.parse(wrong), surroundings());
    const refused = await other.send({ id: 'ours-3', to: FAMILY, body: 'x' });
    expect(refused).toMatchObject({ kind: 'refused', reason: 'not-allowed' });
    const nobody = await gateway.send({ id: 'ours-4', to: '', body: 'x' });
    expect(nobody).toMatchObject({ kind: 'refused', reason: 'wrong-number' });
  });

  let sendUrl = '';
  /** The settings of deploy/gateways/http.md for Kannel. */
  function kannelSettings(port: number) {
    sendUrl = `http://127.0.0.1:${port}/cgi-bin/sendsms`;
    const query =
      'username=toeline&password={secret.password}&from={from.digits}&to={to}&text={body}&charset=UTF-8' +
      '&coding={encoding}&validity={validForMinutes}&dlr-mask=31&dlr-url={reportUrl}';
    return {
      from: '+15550100000',
      secrets: { password: 'secret-of-tests', token: TOKEN },
      encodings: { 'gsm-7': '0', 'ucs-2': '2' },
      reportUrl: '{hook}?token={secret.token}&ours={id}&state=%d',
      send: { method: 'GET', url: `${sendUrl}?${query}` },
      answers: [
        { status: 202, means: 'accepted', id: 'ours' },
        { status: 403, means: 'not-allowed' },
        { where: { field: { pattern: '(receiver)' } }, means: 'wrong-number' },
        { status: 503, means: 'try-later' },
        { status: 400, means: 'not-allowed' },
      ],
      calls: {
        check: { by: 'secret', secret: TOKEN, in: { query: 'token' } },
        texts: {
          id: { query: 'id' },
          from: { query: 'from' },
          to: { query: 'to' },
          body: { query: 'text' },
          at: { query: 'at' },
        },
        reports: {
          ourId: { query: 'ours' },
          state: { query: 'state' },
          states: { '1': 'delivered', '2': 'failed', '4': 'accepted', '8': 'sent', '16': 'failed' },
        },
      },
    };
  }
});
