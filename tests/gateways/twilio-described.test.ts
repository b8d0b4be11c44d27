import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { TwilioGateway } from '../../src/gateways/twilio/twilio.js';
import { npmTool } from './reference-tool.js';
import { deadPort, surroundings } from './webhook-request.js';

const description = fileURLToPath(new URL('../reference/twilio-messages-openapi.json', import.meta.url));
const tool = npmTool('@stoplight/prism-cli', '5.14.2');
const why = 'why' in tool ? ` (skipped: ${tool.why})` : '';

// Reference: Twilio's own OpenAPI description (twilio-oai d50069b), served by @stoplight/prism-cli, which checks every
// request against it.
describe.skipIf(why !== '')(`what the Twilio gateway sends fits Twilio’s own description${why}`, () => {
  let server: ChildProcess | undefined;
  let url = '';
  let log = '';

  beforeAll(async () => {
    if ('why' in tool) return;
    const port = await deadPort();
    url = `http://127.0.0.1:${port}`;
    const cli = `${tool.folder}/node_modules/@stoplight/prism-cli/dist/index.js`;
    server = spawn(process.execPath, [cli, 'mock', '--port', String(port), description], { stdio: 'pipe' });
    const listening = new Promise<void>((resolve, reject) => {
      server?.stdout?.on('data', (chunk: Buffer) => {
        log += chunk.toString();
        if (log.includes('Prism is listening')) resolve();
      });
      server?.once('exit', () => reject(new Error(`the stand-in ended: ${log}`)));
    });
    await listening;
  });
  afterAll(() => void server?.kill('SIGTERM'));

  const gateway = () =>
    new TwilioGateway(
      'twilio',
      {
        accountSid: `AC${'0'.repeat(32)}`,
        authToken: '12345',
        from: '+15550100000',
        listAtMost: 5,
        timeoutMs: 10_000,
        apiUrl: url,
      },
      surroundings(),
    );

  test('a text is accepted, with an id of Twilio’s form', async () => {
    const result = await gateway().send({
      id: 'ours-1',
      to: '+15550100101',
      body: 'ሰላም – “toes”',
      validForSeconds: 3_600,
    });
    expect(result).toMatchObject({ kind: 'accepted' });
    expect(result.kind === 'accepted' && result.providerId).toMatch(/^(SM|MM)[0-9a-fA-F]{32}$/);
    expect(log).not.toMatch(/UNPROCESSABLE|violation/i);
  });

  test('the list can be read', async () => {
    const list = await gateway().list(Date.now() - 3_600_000);
    expect(list.sent.length + list.received.length).toBeGreaterThan(0);
  });

  test('the stand-in does refuse what the description forbids', async () => {
    const answer = await fetch(`${url}/2010-04-01/Accounts/AC${'0'.repeat(32)}/Messages.json`, {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded', authorization: 'Basic eDp5' },
      body: 'Body=no+receiver',
    });
    expect(answer.status).toBeGreaterThanOrEqual(400);
  });
});
