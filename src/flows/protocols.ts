import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { contradictions, type Protocol, protocolSchema } from '../core/course/protocol.js';
import type { Fault } from './fault.js';
import { readYaml, sayPath } from './yaml-file.js';

export interface Protocols {
  readonly protocols: ReadonlyMap<string, Protocol>;
  readonly faults: readonly Fault[];
}

/**
 * Reads every `protocols/*.yaml` of a flows folder. A file with a fault is left out of the map and told; a protocol
 * is known by its `name`, which must be its file's name.
 */
export function loadProtocols(flowsFolder: string): Protocols {
  const protocols = new Map<string, Protocol>();
  const faults: Fault[] = [];
  for (const name of protocolFiles(flowsFolder, faults)) {
    const file = `protocols/${name}`;
    const read = readProtocol(readFileSync(join(flowsFolder, 'protocols', name), 'utf8'), file);
    if (read.faults.length > 0) faults.push(...read.faults);
    else if (read.protocol !== null) protocols.set(read.protocol.name, read.protocol);
  }
  return { protocols, faults };
}

/** Every fault of a clinic's protocol files, for `toeline check`. Empty: all can be used. */
export function checkProtocols(flowsFolder: string): Fault[] {
  return [...loadProtocols(flowsFolder).faults];
}

/** Reads one protocol text; `file` is its name in faults. */
export function readProtocol(
  text: string,
  file: string,
): { protocol: Protocol | null; faults: readonly Fault[] } {
  const read = readYaml(text, file, protocolSchema);
  if (!read.isValid) return { protocol: null, faults: read.faults };
  const protocol = read.value;
  const faults: Fault[] = contradictions(protocol).map(({ path, found, expected }) => ({
    file,
    line: read.lineOf(path),
    path: sayPath(path),
    found,
    expected,
  }));
  const named = file.replace(/^.*\//, '').replace(/\.ya?ml$/, '');
  if (protocol.name !== named)
    faults.push({
      file,
      line: read.lineOf(['name']),
      path: 'name',
      found: protocol.name,
      expected: `the name of the file, ${named}`,
    });
  return { protocol, faults };
}

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
