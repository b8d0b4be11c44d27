import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { expect, test } from 'vitest';

const SRC = join(import.meta.dirname, '..', 'src');
const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((name) => /\.tsx?$/.test(name));
/** What each file imports: paths below `src`, or package names. */
const imports = new Map(files.map((file) => [file, importsOf(file)]));

function importsOf(file: string): { own: string[]; packages: string[] } {
  const text = readFileSync(join(SRC, file), 'utf8');
  const found = [
    ...text.matchAll(
      /^\s*(?:import|export)\b[^;'"]*?from\s+'([^']+)'|^import '([^']+)'|import\('([^']+)'\)/gm,
    ),
  ];
  const names = found.map((match) => match[1] ?? match[2] ?? match[3] ?? '');
  const own = names
    .filter((name) => name.startsWith('.'))
    .map((name) => sourceOf(relative(SRC, join(SRC, dirname(file), name))));
  return { own, packages: names.filter((name) => !name.startsWith('.')) };
}

function sourceOf(path: string): string {
  const base = path.replace(/\.js$/, '');
  return files.find((file) => file === `${base}.ts` || file === `${base}.tsx`) ?? path;
}

const roomOf = (file: string) => (file.includes('/') ? file.slice(0, file.indexOf('/')) : file);

/** Which rooms a room may look into. `errors.ts` may be read by all. */
const MAY_IMPORT: Record<string, readonly string[]> = {
  core: [],
  flows: ['core'],
  store: ['core', 'gateways'],
  gateways: ['core'],
  'pretend-network': ['core', 'gateways'],
  jobs: ['core', 'flows', 'store', 'gateways'],
  web: ['core', 'flows', 'store', 'jobs', 'gateways', 'pretend-network'],
  app: ['core', 'flows', 'store', 'jobs', 'gateways', 'web', 'pretend-network'],
};

test('imports go one way: app to web, jobs, gateways, store, flows, and all of them to core', () => {
  const wrong = [...imports].flatMap(([file, { own }]) =>
    own
      .filter(
        (other) =>
          roomOf(other) !== roomOf(file) &&
          roomOf(other) !== 'errors.ts' &&
          !MAY_IMPORT[roomOf(file)]?.includes(roomOf(other)),
      )
      .map((other) => `${file} imports ${other}`),
  );
  expect(wrong).toEqual([]);
});

test('the core imports luxon, xstate and zod, and nothing else: no files, no network, no environment', () => {
  const wrong = [...imports].flatMap(([file, { packages }]) =>
    roomOf(file) === 'core'
      ? packages
          .filter((name) => !['luxon', 'xstate', 'zod'].includes(name))
          .map((name) => `${file} imports ${name}`)
      : [],
  );
  expect(wrong).toEqual([]);
});

test('the core never asks the machine for the time, for chance or for its surroundings', () => {
  const forbidden =
    /\bDate\.now\(\)|new Date\(\)|Math\.random\(|\bprocess\.|DateTime\.(now|local|utc)\(\s*\)|setTimeout\(|setInterval\(/;
  const wrong = files.filter(
    (file) => roomOf(file) === 'core' && forbidden.test(readFileSync(join(SRC, file), 'utf8')),
  );
  expect(wrong).toEqual([]);
});

test('no file imports itself by a roundabout way', () => {
  const done = new Set<string>();
  const cycles: string[] = [];
  const visit = (file: string, path: string[]) => {
    const seen = path.indexOf(file);
    if (seen >= 0) {
      cycles.push([...path.slice(seen), file].join(' → '));
      return;
    }
    if (done.has(file)) return;
    for (const next of imports.get(file)?.own ?? []) visit(next, [...path, file]);
    done.add(file);
  };
  for (const file of files) visit(file, []);
  expect(cycles).toEqual([]);
});
