import type { Day } from '../time/calendar-days.js';

/**
 * The only way the course asks what day it is. Every question that is still answered "not yet" leaves its day
 * behind, so the earliest of them is the day on which the course can change by the passing of time alone.
 */
export class Watch {
  #next: Day | null = null;

  constructor(readonly asOf: Day) {}

  /** Whether this day has come. */
  reached(day: Day): boolean {
    if (this.asOf >= day) return true;
    if (this.#next === null || day < this.#next) this.#next = day;
    return false;
  }

  /** Whether this day is over. */
  passed(day: Day): boolean {
    return this.reached(day + 1);
  }

  /** The first day after `asOf` on which any answer so far would differ; null: never. */
  get next(): Day | null {
    return this.#next;
  }
}
