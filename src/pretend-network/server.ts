import { timingSafeEqual } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import express, { type NextFunction, type Request, type Response } from 'express';
import { z } from 'zod';
import { Network } from './network.js';

export interface PretendNetworkSettings {
  /** 0 takes any free port. */
  readonly port: number;
  /** Toeline's webhook for this network, for example `http://127.0.0.1:3000/hooks/pretend`. */
  readonly toelineUrl: string;
  readonly secret: string;
  /** How long a call to toeline is tried again while it is down, ms. Default ten minutes. */
  readonly tryForMs?: number;
}

export interface RunningNetwork {
  readonly port: number;
  readonly url: string;
  readonly network: Network;
  close(): Promise<void>;
}

const NUMBER = z.string().regex(/^\+[1-9]\d{6,14}$/, 'a number like +15550100123');
const WANTED = z.strictObject({
  id: z.string().min(1),
  to: NUMBER,
  from: z.string().min(1),
  body: z.string(),
  validForSeconds: z.number().positive().optional(),
});
const TYPED = z.strictObject({ body: z.string(), to: z.string().optional() });

/** HTTP statuses of the codes the faults may name; others are 422. */
const STATUSES: Readonly<Record<string, number>> = {
  'no-credit': 402,
  'stopped-by-family': 403,
  'no-such-number': 404,
  'too-long': 413,
  'slow-down': 429,
  down: 503,
};
const LONGEST_BODY = 1_600;

/** Starts the pretend network on loopback. It speaks HTTP only, as a real provider would. */
export async function startPretendNetwork(settings: PretendNetworkSettings): Promise<RunningNetwork> {
  const network = new Network({
    url: settings.toelineUrl,
    secret: settings.secret,
    tryForMs: settings.tryForMs ?? 600_000,
    timeoutMs: 10_000,
    atOnce: 32,
  });
  const server = face(network, settings.secret).listen(settings.port, '127.0.0.1');
  await new Promise<void>((resolve, reject) => server.once('listening', resolve).once('error', reject));
  const { port } = server.address() as AddressInfo;
  return {
    port,
    url: `http://127.0.0.1:${port}`,
    network,
    close: () => {
      network.close();
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}

function face(network: Network, secret: string) {
  const app = express();
  app.disable('x-powered-by');
  app.get('/health', (_request, response) => void response.json({ ok: true }));
  app.use(guarded(secret));
  app.use(express.json({ limit: '1mb', strict: false }));
  messageRoutes(app, network);
  phoneRoutes(app, network);
  app.put('/faults', (request, response) => {
    network.setFaults(request.body);
    response.json(network.faults);
  });
  app.get('/faults', (_request, response) => void response.json(network.faults));
  app.put('/clock', (request, response) => {
    network.aheadMs = z.strictObject({ aheadMs: z.number() }).parse(request.body).aheadMs;
    network.expireWaiting();
    response.json({ now: network.now() });
  });
  app.get('/callbacks', (_request, response) => {
    response.json({ ...network.callbacks.counts, list: network.callbacks.givenUp });
  });
  app.use((error: unknown, _request: Request, response: Response, _next: NextFunction) => {
    const words = error instanceof z.ZodError ? z.prettifyError(error) : String(error);
    response.status(400).json({ code: 'bad-request', words });
  });
  return app;
}

function guarded(secret: string) {
  const wanted = Buffer.from(`Bearer ${secret}`);
  return (request: Request, response: Response, next: NextFunction) => {
    const given = Buffer.from(request.headers.authorization ?? '');
    if (given.length === wanted.length && timingSafeEqual(given, wanted)) next();
    else response.status(401).json({ code: 'bad-secret', words: 'the bearer secret is missing or wrong' });
  };
}

function messageRoutes(app: express.Express, network: Network): void {
  app.post('/messages', async (request, response) => {
    const { faults, dice } = network;
    if (faults.isDown) return void response.socket?.destroy();
    const wanted = WANTED.parse(request.body);
    const code = refusal(network, wanted);
    if (code !== undefined) {
      if (code === 'slow-down') response.setHeader('retry-after', '1');
      return void response.status(STATUSES[code] ?? 422).json({ code, words: `the network says: ${code}` });
    }
    const text = network.take(wanted);
    const isAnswerLost = dice.hits(faults.answerLost);
    if (faults.answerDelayMs > 0) await new Promise((resolve) => setTimeout(resolve, faults.answerDelayMs));
    if (isAnswerLost) return void response.socket?.destroy();
    response.status(202).json({ providerId: text.providerId, parts: text.parts });
  });
  app.get('/messages', (request, response) => {
    const since = Number(request.query.since ?? 0);
    const isRecent = (one: { at: string }) => Date.parse(one.at) >= since;
    response.json({ sent: network.sent.filter(isRecent), received: network.received.filter(isRecent) });
  });
}

function refusal(network: Network, wanted: z.output<typeof WANTED>): string | undefined {
  const code = network.faults.refuse[wanted.to] ?? network.faults.refuse['*'];
  if (code !== undefined) return code;
  if (wanted.body.length > LONGEST_BODY) return 'too-long';
  return network.hasRoom() ? undefined : 'slow-down';
}

function phoneRoutes(app: express.Express, network: Network): void {
  app.get('/phones', (_request, response) => {
    const phones = [...network.phones.values()].map(({ number, isOn, thread }) => {
      return { number, isOn, texts: thread.length, last: thread.at(-1) ?? null };
    });
    response.json({ phones });
  });
  app.get('/phones/:number', (request, response) => {
    const { number, isOn, thread } = network.phone(NUMBER.parse(request.params.number));
    response.json({ number, isOn, thread });
  });
  app.put('/phones/:number', (request, response) => {
    const { isOn } = z.strictObject({ isOn: z.boolean() }).parse(request.body);
    const { number, thread } = network.switchPhone(NUMBER.parse(request.params.number), isOn);
    response.json({ number, isOn, thread });
  });
  app.post('/phones/:number/texts', (request, response) => {
    const { body, to } = TYPED.parse(request.body);
    const text = network.type(NUMBER.parse(request.params.number), body, to);
    response.status(202).json({ providerId: text.providerId, at: text.at });
  });
}
