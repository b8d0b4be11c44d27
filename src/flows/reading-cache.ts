import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ReadingDigest } from '../core/reading/digest.js';

/** Beside the built program only: running from the sources (tests) keeps nothing. */
const HERE = fileURLToPath(new URL('..', import.meta.url));
const FILE = HERE.endsWith(`${sep}dist${sep}`) ? join(HERE, 'reading-digest.json') : null;

interface Kept {
  readonly fingerprint: string;
  readonly digest: ReadingDigest;
}

/** The digest kept by an earlier start, if the files and the program that made it are the same; else null. */
export function keptDigest(flows: string): ReadingDigest | null {
  if (FILE === null || !existsSync(FILE)) return null;
  try {
    const kept: Kept = JSON.parse(readFileSync(FILE, 'utf8'));
    return kept.fingerprint === fingerprintOf(flows) ? kept.digest : null;
  } catch {
    // A half-written or foreign file: made anew below.
    return null;
  }
}

/** Keeps a digest for the next start. A folder that cannot be written to only costs time. */
export function keepDigest(flows: string, digest: ReadingDigest): void {
  if (FILE === null) return;
  const kept: Kept = { fingerprint: fingerprintOf(flows), digest };
  const draft = `${FILE}.${process.pid}`;
  try {
    writeFileSync(draft, JSON.stringify(kept));
    renameSync(draft, FILE);
  } catch {
    return;
  }
}

/** Changes with every byte of the data files and of the program that digests them. */
function fingerprintOf(flows: string): string {
  const hash = createHash('sha1').update(flows);
  const files = [
    ...filesIn(join(HERE, 'core', 'reading')),
    ...filesIn(join(flows, 'reading')),
    ...foldersIn(join(flows, 'languages')).flatMap(filesIn),
  ];
  for (const file of files) hash.update(file).update(readFileSync(file));
  return hash.digest('hex');
}

const READ = ['.yaml', '.txt', '.js'];

function filesIn(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((name) => READ.some((ending) => name.endsWith(ending)) && name !== 'messages.yaml')
    .sort()
    .map((name) => join(folder, name));
}

function foldersIn(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(folder, entry.name))
    .sort();
}
