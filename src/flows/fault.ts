/** One mistake in a file a clinic may change. */
export interface Fault {
  /** Path of the file as the reader knows it: relative to the flows folder. */
  readonly file: string;
  /** 1-based line; 1 when the mistake has no place of its own. */
  readonly line: number;
  /** Place inside the file: "brace.steps[1].hours". Empty: the whole file. */
  readonly path: string;
  readonly found: string;
  readonly expected: string;
}

/** "protocols/standard.yaml:12: casting.interval.days: found "seven"; expected whole days" */
export function sayFlowFault(fault: Fault): string {
  const place = fault.path === '' ? '' : `${fault.path}: `;
  return `${fault.file}:${fault.line}: ${place}found ${fault.found}; expected ${fault.expected}`;
}
