import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { PretendNetworkClient } from '../../pretend-network/client.js';
import { freePort } from '../services/ports.js';
import { ended, stopProcess } from '../services/processes.js';

/** The pretend network in a process of its own, as far from toeline as a real gateway would be. */
export interface DemoNetwork {
  readonly client: PretendNetworkClient;
  readonly url: string;
  readonly secret: string;
  stop(): Promise<void>;
}

const START_PATIENCE_MS = 15_000;

/** Starts it for the toeline that will listen at `toelineUrl`. It ends when this process does, however that ends. */
export async function startDemoNetwork(toelineUrl: string): Promise<DemoNetwork> {
  const secret = randomBytes(24).toString('hex');
  const port = await freePort();
  const child = spawn(
    process.execPath,
    [
      join(import.meta.dirname, '..', '..', 'pretend-network', 'main.js'),
      ...['--port', String(port), '--toeline-url', `${toelineUrl}/hooks/pretend`, '--with-parent'],
    ],
    { stdio: ['pipe', 'pipe', 'inherit'], env: { ...process.env, PRETEND_SECRET: secret }, detached: true },
  );
  await ready(child);
  const url = `http://127.0.0.1:${port}`;
  return {
    client: new PretendNetworkClient(url, secret),
    url,
    secret,
    stop: async () => {
      if (child.pid !== undefined) await stopProcess(child.pid, 'SIGTERM', 5_000);
    },
  };
}

async function ready(child: ChildProcess): Promise<void> {
  const line = new Promise<void>((resolve) => child.stdout?.once('data', () => resolve()));
  const late = new Promise<string>((resolve) =>
    setTimeout(() => resolve('no word from it'), START_PATIENCE_MS).unref(),
  );
  const fault = await Promise.race([line, ended(child), late]);
  if (typeof fault === 'string') throw new Error(`The pretend network did not start: ${fault}.`);
}
