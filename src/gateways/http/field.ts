import { z } from 'zod';

/** Where a value stands in an answer or a call; the first that is there counts. */
export const FIELD = z
  .strictObject({
    /** A path such as `messages.0.id`. */
    json: z.string().optional(),
    query: z.string().optional(),
    form: z.string().optional(),
    header: z.string().optional(),
    /** A pattern on the body's text; its first group counts. */
    pattern: z.string().refine(isPattern, 'not a regular expression').optional(),
    /** This very value, for what a provider never says. */
    fixed: z.string().optional(),
  })
  .refine((one) => Object.keys(one).length > 0, 'say where: json, query, form, header, pattern or fixed');
export type Field = z.output<typeof FIELD>;

/** What a field may be looked for in. */
export interface Source {
  readonly json: unknown;
  readonly query: ReadonlyMap<string, string>;
  readonly form: ReadonlyMap<string, string>;
  readonly header: (name: string) => string | undefined;
  readonly text: string;
}

export function find(field: Field | undefined, source: Source): string | undefined {
  if (!field) return undefined;
  const found = [
    field.json === undefined ? undefined : scalar(at(source.json, field.json)),
    field.query === undefined ? undefined : source.query.get(field.query),
    field.form === undefined ? undefined : source.form.get(field.form),
    field.header === undefined ? undefined : source.header(field.header.toLowerCase()),
    field.pattern === undefined ? undefined : new RegExp(field.pattern, 's').exec(source.text)?.[1],
    field.fixed,
  ];
  return found.find((value) => value !== undefined);
}

/** What stands at a path of names and indices; the whole for an empty path. */
export function at(value: unknown, path: string): unknown {
  let here = value;
  for (const step of path === '' ? [] : path.split('.')) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, step)) return undefined;
    here = (here as Record<string, unknown>)[step];
  }
  return here;
}

function scalar(value: unknown): string | undefined {
  if (typeof value === 'string') return value;
  return typeof value === 'number' || typeof value === 'boolean' ? String(value) : undefined;
}

function isPattern(pattern: string): boolean {
  try {
    new RegExp(pattern, 's');
    return true;
  } catch {
    return false;
  }
}

/** Parameters, and whether every one of them was UTF-8. */
export interface Parameters {
  readonly values: ReadonlyMap<string, string>;
  readonly isUtf8: boolean;
}

/**
 * Parameters of a query or a form. One that is not UTF-8 is read as Latin-1 and said to be so: enough to check a secret
 * beside it, never to be taken for what a family wrote. Of a repeated name the first counts.
 */
export function parametersOf(text: string): Parameters {
  const values = new Map<string, string>();
  let isUtf8 = true;
  const decoded = (part: string): string => {
    const spaced = part.replaceAll('+', ' ');
    try {
      return decodeURIComponent(spaced);
    } catch {
      isUtf8 = false;
      return spaced.replace(/%([0-9a-f]{2})/gi, (_, hex: string) =>
        String.fromCharCode(Number.parseInt(hex, 16)),
      );
    }
  };
  for (const pair of text.split('&')) {
    if (pair === '') continue;
    const [name = '', value = ''] = pair.split(/=(.*)/s, 2);
    const key = decoded(name);
    if (!values.has(key)) values.set(key, decoded(value));
  }
  return { values, isUtf8 };
}

export function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
