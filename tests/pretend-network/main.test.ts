import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdirSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PretendNetworkClient } from '../../src/pretend-network/client.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = `${root}.toeline/test-build-${process.pid}`;
const SECRET = 'a secret of the tests only';

beforeAll(() => {
  mkdirSync(built, { recursive: true });
  // Colleagues' files may not type-check at this moment; what is run here is this process only.
  execFileSync(
    process.execPath,
    [
      `${root}node_modules/typescript/bin/tsc`,
      '-p',
      `${root}deploy/tsconfig.build.json`,
      '--outDir',
      built,
      '--noCheck',
    ],
    { cwd: root, stdio: 'pipe' },
  );
});
afterAll(() => rmSync(built, { recursive: true, force: true }));

const start = (...args: string[]): ChildProcess =>
  spawn(process.execPath, [`${built}/pretend-network/main.js`, ...args], { stdio: ['pipe', 'pipe', 'pipe'] });
const ended = (child: ChildProcess) => new Promise<number | null>((resolve) => child.once('exit', resolve));

describe('the pretend network’s own process', () => {
  test('prints one JSON line with its port, serves, and ends well on SIGTERM', async () => {
    const child = start(
      '--port',
      '0',
      '--toeline-url',
      'http://127.0.0.1:1/hooks/pretend',
      '--secret',
      SECRET,
    );
    const line = await new Promise<string>((resolve) =>
      child.stdout?.once('data', (chunk: Buffer) => resolve(chunk.toString())),
    );
    expect(line.split('\n')).toHaveLength(2);
    const { port, ready } = JSON.parse(line) as { port: number; ready: boolean };
    expect(ready).toBe(true);
    const phones = new PretendNetworkClient(`http://127.0.0.1:${port}`, SECRET);
    expect(await phones.phones()).toEqual([]);
    const end = ended(child);
    child.kill('SIGTERM');
    expect(await end).toBe(0);
  });

  test('names everything missing from its command line', async () => {
    const child = start('--port', 'x');
    let words = '';
    child.stderr?.on('data', (chunk: Buffer) => {
      words += chunk.toString();
    });
    expect(await ended(child)).toBe(2);
    expect(words).toMatch(/--toeline-url[\s\S]*--secret[\s\S]*--port/);
  });
});
