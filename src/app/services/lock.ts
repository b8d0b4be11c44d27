import { createHash } from 'node:crypto';
import { rmSync } from 'node:fs';
import { createConnection, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * Holds a data folder for one running toeline. A listening socket, not a file with a process number: the system
 * closes it however the process ends, so nothing is left to guess about after kill -9.
 */
export async function holdDataFolder(dataFolder: string): Promise<{ release: () => Promise<void> }> {
  const name = createHash('sha256').update(dataFolder).digest('hex').slice(0, 20);
  const path = join(tmpdir(), `toeline-${name}.sock`);
  const answer = await ask(path);
  if (answer !== null) {
    throw new AlreadyRunning(
      `toeline is already running on ${dataFolder} (process ${answer}). Use that one, stop it first, or set TOELINE_DATA to another folder.`,
    );
  }
  rmSync(path, { force: true });
  const server = await listen(path);
  return { release: () => new Promise((resolve) => server.close(() => resolve())) };
}

/** A second start on the same data folder. */
export class AlreadyRunning extends Error {
  override readonly name = 'AlreadyRunning';
}

function ask(path: string): Promise<string | null> {
  return new Promise((resolve) => {
    const socket = createConnection(path);
    let words = '';
    socket.setTimeout(2_000, () => socket.destroy());
    socket.on('data', (chunk) => {
      words += chunk.toString('utf8');
    });
    socket.on('error', () => resolve(null));
    socket.on('close', () => resolve(words === '' ? null : words));
  });
}

function listen(path: string): Promise<Server> {
  return new Promise((resolve, reject) => {
    const server = createServer((socket) => {
      socket.on('error', () => {});
      socket.end(String(process.pid));
    });
    server.once('error', reject);
    server.listen(path, () => {
      server.unref();
      resolve(server);
    });
  });
}
