// A worker in a process of its own, so that a test can kill it: the built code, the real store and queues, the pretend
// gateway. Settings come as JSON in TOELINE_WORKER. Says "ready" when it works.
import { v7 } from 'uuid';
import { openGateways } from '../../dist/gateways/registry.js';
import { DEFAULT_OPTIONS } from '../../dist/jobs/jobs.js';
import { openQueues } from '../../dist/jobs/queues.js';
import { startWorker } from '../../dist/jobs/worker.js';
import { openStore } from '../../dist/store/open.js';

const settings = JSON.parse(process.env.TOELINE_WORKER ?? '{}');
const store = openStore({ url: settings.databaseUrl, newId: v7, connections: 6 });
const gateways = openGateways(
  [{ name: 'pretend', kind: 'pretend', url: settings.networkUrl, secret: settings.secret }],
  process.env,
  { wallNow: Date.now, publicUrl: 'http://127.0.0.1:1', note: () => {} },
);
const pretend = gateways.get('pretend');
if (!settings.canList) pretend.list = undefined;
const untouched = () => {
  throw new Error('This worker sends only; it must not need the core.');
};
const core = new Proxy({}, { get: () => untouched });
startWorker(
  {
    store,
    core,
    queues: openQueues({ redisUrl: settings.redisUrl }),
    ways: { choose: () => pretend, byName: () => pretend },
    now: Date.now,
    options: { ...DEFAULT_OPTIONS, ...settings.options },
    note: (words, error) => process.stderr.write(`${words} ${error?.message ?? ''}\n`),
  },
  settings.redisUrl,
);
process.stdout.write('ready\n');
