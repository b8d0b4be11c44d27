import type { IncomingMessage } from 'node:http';
import { type Request, type Response, Router } from 'express';
import type { Gateway, WebhookRequest } from '../gateways/gateway.js';
import type { WebDeps } from './deps.js';

/** Far above any provider's request for one text, far below what could hurt. */
const LIMIT_BYTES = 128 * 1024;
/** Of a request that is too large, this much is kept for a person. */
const KEPT_BYTES = 4096;
/** At most one too-large request a gateway and minute is written down; the rest is counted in the log. */
const KEPT_EVERY_MS = 60_000;

/**
 * `/hooks/:gateway`: where providers bring texts and delivery reports. Everything is stored before it is answered
 * and read afterwards. 403: not genuine. 404: no such gateway. 413: too large, its beginning is kept. 503: it could
 * not be stored, so that the provider tries again or reports it.
 */
export function hookRoutes(deps: WebDeps): Router {
  const router = Router();
  const keptAt = new Map<string, number>();
  router.all('/hooks/:gateway', async (request, response) => {
    const name = String(request.params.gateway);
    const gateway = deps.gateways.get(name);
    if (gateway?.readInbound === undefined) {
      response.status(404).type('text').send('There is no gateway of this name here.\n');
      return;
    }
    const { body, isWhole } = await readRaw(request, deps.config.hookLimitBytes ?? LIMIT_BYTES);
    try {
      if (isWhole) await takeIn(deps, gateway, toWebhookRequest(deps, request, body), response);
      else await refuseLarge(deps, gateway, body, response, keptAt);
    } catch (error) {
      deps.note(`A request of the gateway ${name} could not be stored`, error);
      response.status(503).type('text').send('Could not be stored. Please try again.\n');
    }
  });
  return router;
}

async function takeIn(
  deps: WebDeps,
  gateway: Gateway,
  request: WebhookRequest,
  response: Response,
): Promise<void> {
  const read = gateway.readInbound?.(request);
  const sink = deps.inbound(gateway.name);
  if (read === undefined || read.kind === 'not-genuine') {
    deps.note(`A request at /hooks/${gateway.name} was not genuine: ${read?.words ?? 'not readable'}`);
    response.status(403).type('text').send('Not genuine.\n');
    return;
  }
  if (read.kind === 'unreadable') {
    await sink.unreadable(read.raw, read.words);
    response.status(200).type('text').send('Kept for a person to read.\n');
    return;
  }
  for (const text of read.texts) await sink.text(text);
  for (const report of read.reports) await sink.report(report);
  response.status(read.reply.status).type(read.reply.type).send(read.reply.body);
}

async function refuseLarge(
  deps: WebDeps,
  gateway: Gateway,
  body: Buffer,
  response: Response,
  keptAt: Map<string, number>,
): Promise<void> {
  const words = `A request larger than ${body.length} bytes came in and was refused; this is its beginning.`;
  deps.note(`/hooks/${gateway.name}: ${words}`);
  const now = deps.clock.now();
  if (now - (keptAt.get(gateway.name) ?? Number.NEGATIVE_INFINITY) >= KEPT_EVERY_MS) {
    keptAt.set(gateway.name, now);
    await deps.inbound(gateway.name).unreadable(body.subarray(0, KEPT_BYTES).toString('latin1'), words);
  }
  response.status(413).set('Connection', 'close').type('text').send('Too large.\n');
}

/** Reads at most `limit` bytes; what lies beyond is let through unread so that the answer can still be given. */
function readRaw(request: IncomingMessage, limit: number): Promise<{ body: Buffer; isWhole: boolean }> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    let size = 0;
    request.on('data', (chunk: Buffer) => {
      if (size < limit) chunks.push(chunk.subarray(0, limit - size));
      size += chunk.length;
      if (size > limit * 8) resolve({ body: Buffer.concat(chunks), isWhole: false });
    });
    request.on('end', () => resolve({ body: Buffer.concat(chunks), isWhole: size <= limit }));
    request.on('error', reject);
  });
}

function toWebhookRequest(deps: WebDeps, request: Request, rawBody: Buffer): WebhookRequest {
  return {
    method: request.method,
    url: `${deps.config.publicUrl}${request.originalUrl}`,
    path: request.path,
    headers: request.headers,
    rawBody,
    remote: request.socket.remoteAddress ?? '',
  };
}
