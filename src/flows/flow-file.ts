import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { z } from 'zod';
import { type Read, readYaml } from './yaml-file.js';

/** Reads one file of the flows folder by its schema; a file that is not there is a fault like any other. */
export function readFlowFile<Value>(folder: string, file: string, schema: z.ZodType<Value>): Read<Value> {
  let text: string;
  try {
    text = readFileSync(join(folder, file), 'utf8');
  } catch {
    const fault = {
      file,
      line: 1,
      path: '',
      found: 'no such file',
      expected: `the file ${join(folder, file)}`,
    };
    return { isValid: false, faults: [fault] };
  }
  return readYaml(text, file, schema);
}
