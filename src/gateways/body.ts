import type { WebhookReply, WebhookRequest } from './gateway.js';

/** The body as UTF-8 text; undefined when the bytes are not UTF-8, so that nothing is silently replaced. */
export function utf8(bytes: Buffer): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** What to keep of a body for a person to look at: the text where it is text, otherwise every byte in base64. */
export function rawOf(bytes: Buffer): string {
  return utf8(bytes) ?? `base64:${bytes.toString('base64')}`;
}

/** One header as a single string; a repeated header is joined the way HTTP says. */
export function header(request: WebhookRequest, name: string): string | undefined {
  const value = request.headers[name];
  return typeof value === 'string' || value === undefined ? value : value.join(', ');
}

/** The plain answer most providers want. */
export const DONE: WebhookReply = { status: 200, type: 'text/plain; charset=utf-8', body: '' };
