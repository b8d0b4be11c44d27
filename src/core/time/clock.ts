/** Where time comes from. The core never asks the machine: the shell passes a clock or an instant in. */
export interface Clock {
  /** Milliseconds since 1970-01-01T00:00:00Z. */
  now(): number;
}
