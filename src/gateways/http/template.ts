/** What a template may name, beside `secret.<name>` for the configured secrets. */
export const VARIABLES = [
  /** Our id of the text. */
  'id',
  /** E.164 with the plus sign, and without it. */
  'to',
  'to.digits',
  'from',
  'from.digits',
  'body',
  /** The text as UTF-16 in hexadecimal, for providers that want Unicode so. */
  'body.ucs2hex',
  /** The provider's word for the text's alphabet, from `encodings`. */
  'encoding',
  /** Parts the text will take. */
  'parts',
  'validForSeconds',
  'validForMinutes',
  /** Toeline's webhook for this gateway, and the configured `reportUrl`. */
  'hook',
  'reportUrl',
] as const;
export type Variable = (typeof VARIABLES)[number] | `secret.${string}`;

/** Values for one text; a missing one leaves out whatever names it. */
export type Values = Readonly<Partial<Record<string, string>>>;

const NAMED = /\{([A-Za-z][\w.-]*)\}/g;

/** The names in a template that nobody knows, so that a spelling mistake is found at start-up. */
export function unknownNames(template: string, secrets: readonly string[]): string[] {
  const known = new Set<string>([...VARIABLES, ...secrets.map((name) => `secret.${name}`)]);
  return [...template.matchAll(NAMED)].map((match) => match[1] ?? '').filter((name) => !known.has(name));
}

/** Fills a template; undefined when a value it names is missing. `written` escapes each value for its place. */
export function fill(
  template: string,
  values: Values,
  written: (value: string) => string = (value) => value,
): string | undefined {
  let isWhole = true;
  const filled = template.replace(NAMED, (_, name: string) => {
    const value = values[name];
    if (value === undefined) isWhole = false;
    return value === undefined ? '' : written(value);
  });
  return isWhole ? filled : undefined;
}

/** An address: values are percent-encoded; a query parameter whose value is missing is left out. */
export function fillUrl(template: string, values: Values): string {
  const [path = '', query] = template.split(/\?(.*)/s, 2);
  const base = fill(path, values, encodeURIComponent) ?? path;
  if (query === undefined) return base;
  const parameters = query
    .split('&')
    .map((parameter) => fill(parameter, values, encodeURIComponent))
    .filter((parameter) => parameter !== undefined);
  return parameters.length === 0 ? base : `${base}?${parameters.join('&')}`;
}

/**
 * A JSON body: every string in it is a template. `"{parts:number}"` becomes a number; a property whose value is missing
 * is left out.
 */
export function fillJson(template: unknown, values: Values): unknown {
  if (typeof template === 'string') {
    const asNumber = /^\{([\w.-]+):number\}$/.exec(template)?.[1];
    if (asNumber === undefined) return fill(template, values);
    const value = values[asNumber];
    return value === undefined ? undefined : Number(value);
  }
  if (Array.isArray(template)) return template.map((one) => fillJson(one, values));
  if (typeof template !== 'object' || template === null) return template;
  const filled = Object.entries(template).map(([key, value]) => [key, fillJson(value, values)] as const);
  return Object.fromEntries(filled.filter(([, value]) => value !== undefined));
}

/** Every template string in a value, however deep. */
export function templatesIn(value: unknown): string[] {
  if (typeof value === 'string') return [value.replace(/^\{([\w.-]+):number\}$/, '{$1}')];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(templatesIn);
}
