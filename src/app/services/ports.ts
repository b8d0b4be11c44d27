import { createServer } from 'node:net';

/** A TCP port on 127.0.0.1 that is free now: the preferred one if it is, else any. */
export async function freePort(preferred = 0): Promise<number> {
  if (preferred !== 0 && (await isFree(preferred))) return preferred;
  return listenOnce(0);
}

async function isFree(port: number): Promise<boolean> {
  try {
    await listenOnce(port);
    return true;
  } catch {
    return false;
  }
}

function listenOnce(port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(port, '127.0.0.1', () => {
      const address = server.address();
      const found = typeof address === 'object' && address !== null ? address.port : 0;
      server.close(() => resolve(found));
    });
  });
}
