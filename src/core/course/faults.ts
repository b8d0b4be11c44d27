/** One thing wrong with an input: where it stands, what was found there and what was expected. */
export interface InputFault {
  /** Path in the input: "events[3].date". Empty: the whole input. */
  readonly path: string;
  readonly found: string;
  readonly expected: string;
}

/** "events[3].date: found "2026-02-30"; expected a date ..." */
export function sayFault(fault: InputFault): string {
  return `${fault.path === '' ? 'input' : fault.path}: found ${fault.found}; expected ${fault.expected}`;
}

/** A value as a person would point at it, shortened. */
export function sayValue(value: unknown): string {
  if (value === undefined) return 'nothing';
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** ["events", 3, "date"] as "events[3].date". */
export function sayPath(path: readonly PropertyKey[]): string {
  let text = '';
  for (const key of path) {
    if (typeof key === 'number') text += `[${key}]`;
    else text += text === '' ? String(key) : `.${String(key)}`;
  }
  return text;
}
