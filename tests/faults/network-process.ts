import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import type { Gateway } from '../../src/gateways/gateway.js';
import { openGateways } from '../../src/gateways/registry.js';
import type { Arrivals } from '../../src/jobs/arrive.js';
import { PretendNetworkClient } from '../../src/pretend-network/client.js';

export const SECRET = 'a secret of the fault tests';
const root = fileURLToPath(new URL('../..', import.meta.url));

export interface NetworkProcess {
  readonly url: string;
  readonly client: PretendNetworkClient;
  stop(): Promise<void>;
}

/** The pretend network in its own process, calling back to this address. */
export async function startNetwork(hookUrl: string): Promise<NetworkProcess> {
  const args = [`${root}dist/pretend-network/main.js`, '--port', '0', '--toeline-url', hookUrl];
  const child = spawn(process.execPath, args, {
    env: { ...process.env, PRETEND_SECRET: SECRET },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const { port } = JSON.parse(await firstLine(child)) as { port: number };
  const url = `http://127.0.0.1:${port}`;
  return { url, client: new PretendNetworkClient(url, SECRET), stop: () => end(child, 'SIGTERM') };
}

function gatewayAt(publicUrl: string): Gateway {
  const around = { wallNow: Date.now, publicUrl, note: () => {} };
  const settings = [{ name: 'pretend', kind: 'pretend', url: 'http://127.0.0.1:1', secret: SECRET }];
  const gateway = openGateways(settings, {}, around).get('pretend');
  if (gateway === undefined) throw new Error('There is no pretend gateway.');
  return gateway;
}

/** The smallest webhook there can be: the gateway reads the call, the arrivals are stored, then it is answered. */
export async function startHook(
  arrivals: () => Arrivals,
): Promise<{ url: string; stop: () => Promise<void> }> {
  const server: Server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      void answer(Buffer.concat(chunks)).then((status) => response.writeHead(status).end());
    });
    const answer = async (rawBody: Buffer): Promise<number> => {
      const path = request.url ?? '/';
      const read = gatewayAt(publicUrl).readInbound?.({
        method: request.method ?? 'POST',
        url: `${publicUrl}${path}`,
        path,
        headers: request.headers,
        rawBody,
        remote: '127.0.0.1',
      });
      if (read?.kind !== 'genuine') return 403;
      try {
        await Promise.all(read.texts.map((text) => arrivals().text('pretend', text)));
        await Promise.all(read.reports.map((report) => arrivals().report('pretend', report)));
        return read.reply.status;
      } catch {
        return 503;
      }
    };
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const publicUrl = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const stop = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  };
  return { url: `${publicUrl}/hooks/pretend`, stop };
}

export function startWorkerProcess(settings: object): Promise<ChildProcess> {
  return startProcess('worker-process.mjs', 'TOELINE_WORKER', settings);
}

export function startHookProcess(settings: object): Promise<ChildProcess> {
  return startProcess('hook-process.mjs', 'TOELINE_HOOK', settings);
}

async function startProcess(file: string, name: string, settings: object): Promise<ChildProcess> {
  const child = spawn(process.execPath, [`${root}tests/faults/${file}`], {
    env: { ...process.env, [name]: JSON.stringify(settings) },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  running.add(child);
  await firstLine(child);
  return child;
}

const running = new Set<ChildProcess>();

/** Ends workers a failed test has left. */
export async function endAll(): Promise<void> {
  await Promise.all([...running].map((child) => end(child, 'SIGKILL')));
}

export async function end(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const exited = once(child, 'exit');
  child.kill(signal);
  await exited;
}

async function firstLine(child: ChildProcess): Promise<string> {
  const exited = once(child, 'exit').then(([code]) => {
    throw new Error(`The process ended before it was ready (${code}).`);
  });
  exited.catch(() => {});
  const line = once(child.stdout ?? child, 'data').then(([chunk]) => String(chunk));
  return Promise.race([line, exited]);
}
