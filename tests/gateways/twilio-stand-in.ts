import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

/** How the stand-in treats the next requests. */
export interface Mood {
  status?: number;
  code?: number;
  message?: string;
  isAnswerLost?: boolean;
  delayMs?: number;
}

/** A small stand-in for the Messages resource, so that refusals and lost answers can be had on request. */
export async function startTwilioStandIn() {
  const requests: URLSearchParams[] = [];
  const sids: string[] = [];
  const state: { mood: Mood } = { mood: {} };
  const message = (params: URLSearchParams, sid: string) => ({
    sid,
    status: 'queued',
    direction: 'outbound-api',
    num_segments: '1',
    to: params.get('To'),
    from: params.get('From'),
    body: params.get('Body'),
    date_created: new Date().toUTCString(),
    date_sent: null,
    error_code: null,
  });
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const { mood } = state;
      response.setHeader('content-type', 'application/json');
      if (request.method === 'GET') {
        const messages = requests.map((params, index) => message(params, sids[index] ?? ''));
        response.end(JSON.stringify({ messages, page: 0, page_size: 1000, next_page_uri: null, uri: '' }));
        return;
      }
      if (mood.status) {
        response.statusCode = mood.status;
        response.end(JSON.stringify({ status: mood.status, code: mood.code, message: mood.message ?? 'no' }));
        return;
      }
      const params = new URLSearchParams(Buffer.concat(chunks).toString());
      const sid = `SM${(requests.length + 1).toString(16).padStart(32, '0')}`;
      requests.push(params);
      sids.push(sid);
      if (mood.isAnswerLost) {
        response.socket?.destroy();
        return;
      }
      setTimeout(() => {
        response.statusCode = 201;
        response.end(JSON.stringify(message(params, sid)));
      }, mood.delayMs ?? 0);
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    requests,
    state,
    close: () => {
      server.closeAllConnections();
      return new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}
