import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { DeliveryReport, Gateway, InboundText } from '../../src/gateways/gateway.js';

/** A stand-in for toeline's webhook: reads each call with the real gateway and keeps what it read. */
export interface Hook {
  readonly url: string;
  readonly port: number;
  readonly texts: InboundText[];
  readonly reports: DeliveryReport[];
  close(): Promise<void>;
}

export async function startHook(gateway: () => Gateway, port = 0): Promise<Hook> {
  const texts: InboundText[] = [];
  const reports: DeliveryReport[] = [];
  const server: Server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const read = gateway().readInbound?.({
        method: request.method ?? '',
        url: `http://127.0.0.1${request.url ?? ''}`,
        path: request.url ?? '',
        headers: request.headers,
        rawBody: Buffer.concat(chunks),
        remote: '127.0.0.1',
      });
      if (read?.kind === 'genuine') {
        texts.push(...read.texts);
        reports.push(...read.reports);
      }
      response.statusCode = read?.kind === 'not-genuine' ? 403 : 200;
      response.end();
    });
  });
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  const bound = (server.address() as AddressInfo).port;
  return {
    url: `http://127.0.0.1:${bound}/hooks/pretend`,
    port: bound,
    texts,
    reports,
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}
