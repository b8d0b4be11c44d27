import type { Clock } from '../core/time/clock.js';

/** The machine's own time. */
export const systemClock: Clock = { now: () => Date.now() };

/** A clock that runs like the machine's but can be moved; for demonstrations. */
export class MovableClock implements Clock {
  #shiftMs: number;

  constructor(shiftMs: number) {
    this.#shiftMs = shiftMs;
  }

  now(): number {
    return Date.now() + this.#shiftMs;
  }

  /** Milliseconds by which it is ahead of the machine's. */
  get shiftMs(): number {
    return this.#shiftMs;
  }

  /** Makes it show `instant` (ms) now. Only forward: a demonstration does not unlive what was lived. */
  moveTo(instant: number): void {
    if (instant > this.now()) this.#shiftMs = instant - Date.now();
  }
}
