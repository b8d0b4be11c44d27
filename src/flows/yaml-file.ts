import { type Document, isNode, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import type { Fault } from './fault.js';

export type Read<Value> =
  | {
      readonly isValid: true;
      readonly value: Value;
      readonly lineOf: (path: readonly PropertyKey[]) => number;
    }
  | { readonly isValid: false; readonly faults: readonly Fault[] };

/**
 * Reads one YAML text by a strict schema and tells every fault with its line: mistakes of YAML itself first (then
 * the shape is not looked at), else everything the schema refuses. Keys given twice are refused.
 * @param file name used in faults
 */
export function readYaml<Value>(text: string, file: string, schema: z.ZodType<Value>): Read<Value> {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: true });
  const broken = [...document.errors, ...document.warnings];
  if (broken.length > 0)
    return {
      isValid: false,
      faults: broken.map((error) => ({
        file,
        line: lines.linePos(error.pos[0]).line,
        path: '',
        found: error.message,
        expected: 'YAML that can be read (indent with spaces, quote texts that hold ": " or "#")',
      })),
    };
  const lineOf = (path: readonly PropertyKey[]) => lineAt(document, lines, path);
  const given: unknown = document.toJS();
  const result = schema.safeParse(given);
  if (result.success) return { isValid: true, value: result.data, lineOf };
  return {
    isValid: false,
    faults: result.error.issues.flatMap((issue) => issueFaults(issue, given, file, lineOf)),
  };
}

/** Line of the deepest part of `path` that exists in the document. */
function lineAt(document: Document, lines: LineCounter, path: readonly PropertyKey[]): number {
  for (let depth = path.length; depth > 0; depth--) {
    const node: unknown = document.getIn(path.slice(0, depth), true);
    if (isNode(node) && node.range) return lines.linePos(node.range[0]).line;
  }
  return 1;
}

function issueFaults(
  issue: z.core.$ZodIssue,
  given: unknown,
  file: string,
  lineOf: (path: readonly PropertyKey[]) => number,
): Fault[] {
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => {
      const path = [...issue.path, key];
      return {
        file,
        line: lineOf(path),
        path: sayPath(path),
        found: 'an unknown key',
        expected: 'no such key here: take it away or correct its spelling',
      };
    });
  const value = issue.path.reduce<unknown>(
    (part, key) => (part as Record<PropertyKey, unknown> | null | undefined)?.[key],
    given,
  );
  const message = issue.message.replace(/^Invalid (input|option): /, '').replace(/^expected /, '');
  return [
    {
      file,
      line: lineOf(issue.path),
      path: sayPath(issue.path),
      found: value === undefined ? 'nothing' : shorten(JSON.stringify(value)),
      expected:
        issue.code === 'invalid_type' && !issue.message.startsWith('expected') ? issue.expected : message,
    },
  ];
}

const shorten = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}...` : text);

/** ["steps", 1, "hours"] as "steps[1].hours". */
export function sayPath(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, key) =>
      typeof key === 'number' ? `${text}[${key}]` : text === '' ? String(key) : `${text}.${String(key)}`,
    '',
  );
}
