import { readFileSync } from 'node:fs';

/** The data lines of a tab-separated table beside the tests: comments and the header line left out. */
export function referenceRows(file: string): string[][] {
  const text = readFileSync(new URL(`../../reference/${file}`, import.meta.url), 'utf8');
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  return lines.slice(1).map((line) => line.split('\t'));
}
