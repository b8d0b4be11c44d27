import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { expect, it } from 'vitest';
import { runCheck } from '../../src/app/check-command.js';
import { DEFINITION_NAMES } from '../../src/core/conversation/definition.js';

function said() {
  const words: string[] = [];
  const stream = () =>
    new Writable({
      write(chunk, _encoding, done) {
        words.push(String(chunk));
        done();
      },
    });
  return { io: { stdin: Readable.from([]), stdout: stream(), stderr: stream() }, words };
}

it('toeline check --draw leaves one picture a check-in, in the language asked for', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'toeline-pictures-'));
  try {
    const { io, words } = said();
    const code = await runCheck(['--draw', folder, '--language', 'sw'], io);
    expect(code, words.join('')).toBe(0);
    expect(words.join('')).toContain(`${DEFINITION_NAMES.length} pictures drawn`);
    expect(readdirSync(folder).toSorted()).toEqual(DEFINITION_NAMES.map((name) => `${name}.svg`).toSorted());
    expect(readFileSync(join(folder, 'cast-day.svg'), 'utf8')).toContain('vidole');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
