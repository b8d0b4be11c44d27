import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  laidOver,
  type Protocol,
  type ProtocolFile,
  protocolFileSchema,
  protocolSchema,
} from '../core/course/protocol.js';
import { contradictions } from '../core/course/protocol-contradictions.js';
import type { Fault } from './fault.js';
import { readYaml, sayPath } from './yaml-file.js';

export interface Protocols {
  readonly protocols: ReadonlyMap<string, Protocol>;
  readonly faults: readonly Fault[];
}

/**
 * Reads every `protocols/*.yaml` of a flows folder. A file with a fault is left out of the map and told, and so is one
 * that is like it; a protocol is known by its `name`, which must be its file's name.
 */
export function loadProtocols(flowsFolder: string): Protocols {
  const faults: Fault[] = [];
  const texts = new Map<string, string>();
  for (const name of protocolFiles(flowsFolder, faults))
    texts.set(nameOfFile(name), readFileSync(join(flowsFolder, 'protocols', name), 'utf8'));
  return readProtocols(texts, faults);
}

/** Reads protocol texts by name (the file's name without its ending), bases before what is like them. */
export function readProtocols(texts: ReadonlyMap<string, string>, faults: Fault[] = []): Protocols {
  const protocols = new Map<string, Protocol>();
  const waiting = new Map<string, OwnFile>();
  for (const [name, text] of texts) {
    const file = `protocols/${name}.yaml`;
    const read = readYaml(text, file, protocolFileSchema);
    if (read.isValid) waiting.set(name, { file, own: read.value, lineOf: read.lineOf });
    else faults.push(...read.faults);
  }
  for (let isMoving = true; isMoving; ) {
    isMoving = false;
    for (const [name, own] of waiting) {
      const { like } = own.own;
      if (like !== undefined && waiting.has(like) && like !== name) continue;
      waiting.delete(name);
      isMoving = true;
      const base = like === undefined ? null : (protocols.get(like) ?? undefined);
      const read = base === undefined ? noBase(own, texts) : whole(name, own, base);
      if (read.faults.length > 0) faults.push(...read.faults);
      else if (read.protocol !== null) protocols.set(name, read.protocol);
    }
  }
  for (const own of waiting.values())
    faults.push(...noBase(own, texts, 'a protocol that is not itself like this one').faults);
  return { protocols, faults };
}

interface OwnFile {
  readonly file: string;
  readonly own: ProtocolFile;
  readonly lineOf: (path: readonly PropertyKey[]) => number;
}

/** Every fault of a clinic's protocol files, for `toeline check`. Empty: all can be used. */
export function checkProtocols(flowsFolder: string): Fault[] {
  return [...loadProtocols(flowsFolder).faults];
}

interface One {
  readonly protocol: Protocol | null;
  readonly faults: readonly Fault[];
}

/** A file laid over its base, checked as a whole. Faults in what the base gave point at the file's nearest line. */
function whole(name: string, { file, own, lineOf }: OwnFile, base: Protocol | null): One {
  const read = protocolSchema.safeParse(laidOver(base, own));
  if (!read.success)
    return {
      protocol: null,
      faults: read.error.issues.map((issue) => ({
        file,
        line: lineOf(issue.path),
        path: sayPath(issue.path),
        found: 'nothing',
        expected: `${issue.message.replace(/^expected /, '')}, or "like: standard" to take it from there`,
      })),
    };
  const faults: Fault[] = contradictions(read.data).map(({ path, found, expected }) => ({
    file,
    line: lineOf(path),
    path: sayPath(path),
    found,
    expected,
  }));
  if (own.name !== name)
    faults.push({
      file,
      line: lineOf(['name']),
      path: 'name',
      found: own.name,
      expected: `the name of the file, ${name}`,
    });
  return { protocol: faults.length > 0 ? null : read.data, faults };
}

function noBase({ file, own, lineOf }: OwnFile, texts: ReadonlyMap<string, string>, expected?: string): One {
  const known = [...texts.keys()].filter((name) => name !== own.name).join(', ');
  const isThere = own.like !== undefined && texts.has(own.like) && own.like !== own.name;
  return {
    protocol: null,
    faults: [
      {
        file,
        line: lineOf(['like']),
        path: 'like',
        found: String(own.like),
        expected: expected ?? (isThere ? 'a protocol without faults of its own' : `one of ${known}`),
      },
    ],
  };
}

const nameOfFile = (name: string): string => name.replace(/\.ya?ml$/, '');

function protocolFiles(flowsFolder: string, faults: Fault[]): string[] {
  try {
    const names = readdirSync(join(flowsFolder, 'protocols'))
      .filter((name) => /\.ya?ml$/.test(name))
      .sort();
    if (names.length === 0)
      faults.push({
        file: 'protocols',
        line: 1,
        path: '',
        found: 'no .yaml file',
        expected: 'at least one protocol such as standard.yaml',
      });
    return names;
  } catch {
    faults.push({
      file: 'protocols',
      line: 1,
      path: '',
      found: `no folder "protocols" in ${flowsFolder}`,
      expected: 'a folder with protocol files',
    });
    return [];
  }
}
