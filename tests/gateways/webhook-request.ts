import { createServer } from 'node:net';
import type { WebhookRequest } from '../../src/gateways/gateway.js';

/** A POST as toeline's webhook would hand it to a gateway. */
export function posted(
  url: string,
  rawBody: Buffer | string,
  headers: Readonly<Record<string, string>>,
): WebhookRequest {
  const { pathname } = new URL(url);
  return { method: 'POST', url, path: pathname, headers, rawBody: Buffer.from(rawBody), remote: '127.0.0.1' };
}

/** A wall clock and a note-taker for gateways under test. */
export function surroundings(notes: string[] = []) {
  return {
    wallNow: () => Date.now(),
    publicUrl: 'https://toeline.example',
    note: (words: string) => void notes.push(words),
  };
}

/** A loopback port where nobody listens any more. */
export async function deadPort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  if (typeof address !== 'object' || address === null) throw new Error('no port was bound');
  return address.port;
}
