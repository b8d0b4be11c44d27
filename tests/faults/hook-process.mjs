// The receiving end of the pretend network in a process of its own, so that a test can kill it: reads the call as the
// gateway does, stores what it brought, then answers. Settings come as JSON in TOELINE_HOOK. Says "ready" when it listens.
import { createServer } from 'node:http';
import { v7 } from 'uuid';
import { openGateways } from '../../dist/gateways/registry.js';
import { arrivals } from '../../dist/jobs/arrive.js';
import { DEFAULT_OPTIONS } from '../../dist/jobs/jobs.js';
import { openQueues } from '../../dist/jobs/queues.js';
import { openStore } from '../../dist/store/open.js';

const settings = JSON.parse(process.env.TOELINE_HOOK ?? '{}');
const publicUrl = `http://127.0.0.1:${settings.port}`;
const gateway = openGateways(
  [{ name: 'pretend', kind: 'pretend', url: 'http://127.0.0.1:1', secret: settings.secret }],
  process.env,
  { wallNow: Date.now, publicUrl, note: () => {} },
).get('pretend');
const arrive = arrivals({
  store: openStore({ url: settings.databaseUrl, newId: v7, connections: 6, onIdleError: () => {} }),
  core: {},
  queues: openQueues({ redisUrl: settings.redisUrl }),
  ways: { choose: () => null, byName: () => null },
  now: Date.now,
  options: DEFAULT_OPTIONS,
  note: () => {},
});

async function answer(request, rawBody) {
  const path = request.url ?? '/';
  const { method, headers } = request;
  const read = gateway.readInbound({
    method,
    url: publicUrl + path,
    path,
    headers,
    rawBody,
    remote: '127.0.0.1',
  });
  if (read.kind !== 'genuine') return 403;
  try {
    await Promise.all(read.texts.map((text) => arrive.text('pretend', text)));
    await Promise.all(read.reports.map((report) => arrive.report('pretend', report)));
    return read.reply.status;
  } catch {
    // Not stored: the network must try again.
    return 503;
  }
}

createServer((request, response) => {
  const chunks = [];
  request.on('data', (chunk) => chunks.push(chunk));
  request.on('end', async () => response.writeHead(await answer(request, Buffer.concat(chunks))).end());
}).listen(settings.port, '127.0.0.1', () => process.stdout.write('ready\n'));
