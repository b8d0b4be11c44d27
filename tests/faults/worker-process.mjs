// A worker in a process of its own, so that a test can kill it: the built code, the real store, queues and core, the
// pretend gateway. Settings come as JSON in TOELINE_WORKER. Says "ready" when it works.
import { v7 } from 'uuid';
import { loadFlows } from '../../dist/app/flows.js';
import { openGateways } from '../../dist/gateways/registry.js';
import { coreFrom } from '../../dist/jobs/core-from-flows.js';
import { DEFAULT_OPTIONS } from '../../dist/jobs/jobs.js';
import { openQueues } from '../../dist/jobs/queues.js';
import { startWorker } from '../../dist/jobs/worker.js';
import { openStore } from '../../dist/store/open.js';

const settings = JSON.parse(process.env.TOELINE_WORKER ?? '{}');
const store = openStore({ url: settings.databaseUrl, newId: v7, connections: 6, onIdleError: () => {} });
const gateways = openGateways(
  [{ name: 'pretend', kind: 'pretend', url: settings.networkUrl, secret: settings.secret }],
  process.env,
  { wallNow: Date.now, publicUrl: 'http://127.0.0.1:1', note: () => {} },
);
const pretend = gateways.get('pretend');
if (!settings.canList) pretend.list = undefined;
const seen = new Set();
startWorker(
  {
    store,
    core: coreFrom(loadFlows(new URL('../../flows', import.meta.url).pathname)),
    queues: openQueues({ redisUrl: settings.redisUrl }),
    ways: { choose: () => pretend, byName: () => pretend },
    now: Date.now,
    options: { ...DEFAULT_OPTIONS, ...settings.options },
    note: (words) => {
      // Once each: during an outage the same sentence comes many times a second.
      if (settings.isQuiet || seen.has(words)) return;
      seen.add(words);
      process.stderr.write(`worker: ${words}\n`);
    },
  },
  settings.redisUrl,
);
process.stdout.write('ready\n');
