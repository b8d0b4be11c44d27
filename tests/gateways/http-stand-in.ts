import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface HttpMood {
  status?: number;
  body?: unknown;
  isAnswerLost?: boolean;
}

/** A provider on loopback with a JSON interface of its own making. */
export async function startProvider() {
  const requests: { method: string; url: string; headers: Record<string, unknown>; body: string }[] = [];
  const state: { mood: HttpMood } = { mood: {} };
  let serial = 0;
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const { mood } = state;
      const body = Buffer.concat(chunks).toString();
      const { method = '', url = '', headers } = request;
      if (!mood.status) requests.push({ method, url, headers, body });
      if (mood.isAnswerLost) {
        response.socket?.destroy();
        return;
      }
      serial += 1;
      response.statusCode = mood.status ?? 200;
      response.end(
        JSON.stringify(
          mood.body ?? { result: { status: 'ok', messages: [{ id: `p-${serial}`, parts: 1 }] } },
        ),
      );
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
