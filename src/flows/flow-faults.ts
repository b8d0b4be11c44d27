import { type Fault, sayFlowFault } from './fault.js';

/** What was read, and everything wrong with it; the value may stand beside faults found after reading. */
export interface Found<Value> {
  readonly value: Value | null;
  readonly faults: readonly Fault[];
}

/** All faults of the data files read, thrown at once, each with file, line, what was found and what is expected. */
export class FlowFaults extends Error {
  override readonly name = 'FlowFaults';
  constructor(readonly faults: readonly Fault[]) {
    super(`flows has ${faults.length} fault(s):\n${faults.map(sayFlowFault).join('\n')}`);
  }
}

export function orThrow<Value>({ value, faults }: Found<Value>): Value {
  if (value === null || faults.length > 0) throw new FlowFaults(faults);
  return value;
}
