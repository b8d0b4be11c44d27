import type { Kysely } from 'kysely';
import type { Tables } from './tables.js';

/** Makes an id (UUID version 7, so that rows sort by age). Passed in, so that tests can make ids they can predict. */
export type NewId = <Id extends string>() => Id;

/** All days a clinic is closed: the public holidays of its country ("KE", "IN-KA") and its own closures, ISO dates. */
export type ClosedDays = (country: string, closures: readonly string[]) => readonly string[];

/** The record, open. Inside a transaction `db` is that transaction; every method of `store/` joins it. */
export interface Store {
  readonly db: Kysely<Tables>;
  readonly newId: NewId;
  /** Left out: a clinic's own closures alone. */
  readonly closedDays?: ClosedDays;
}

/** An instant in ms as the driver wants it. */
export function at(ms: number): Date {
  return new Date(ms);
}

/** The same, where "never" or "now" is said by null. */
export function atOrNull(ms: number | null): Date | null {
  return ms === null ? null : new Date(ms);
}
