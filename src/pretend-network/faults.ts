import { z } from 'zod';

const chance = z.number().min(0).max(1).default(0);

/** What can go wrong on the pretend network. Everything is off unless switched on; chances are between 0 and 1. */
export const FAULTS = z.strictObject({
  /** The network does not answer at all: every request for sending is cut. */
  isDown: z.boolean().default(false),
  /** Waits this long before answering a request to send. */
  answerDelayMs: z.number().int().min(0).max(600_000).default(0),
  /** Takes the text, then cuts the line instead of answering. */
  answerLost: chance,
  /** Refuses texts to these numbers (`*`: all) with this code. */
  refuse: z.record(z.string(), z.string()).default({}),
  /** Takes at most this many texts in any second and answers 429 beyond. Null: no limit. */
  perSecond: z.number().int().min(0).nullable().default(null),
  /** Accepts the text, after which nobody ever hears of it again. */
  textLost: chance,
  /** Accepts the text, then reports it failed. */
  textFails: chance,
  /** Accepts texts to these numbers, then reports them failed with this code. */
  fail: z.record(z.string(), z.string()).default({}),
  /** Each step of delivery takes a time between these. */
  reportDelayMs: z
    .strictObject({ from: z.number().int().min(0), to: z.number().int().min(0) })
    .default({ from: 20, to: 200 }),
  reportLost: chance,
  reportDoubled: chance,
  /** Reports `delivered` first and `sent` after it. */
  reportsShuffled: chance,
  /** Reports before the request to send is answered. */
  reportEarly: chance,
  /** A report waits this much longer. */
  reportLate: z.strictObject({ chance, byMs: z.number().int().min(0) }).default({ chance: 0, byMs: 0 }),
  /** A family's text arrives twice, with the same id. */
  inboundDoubled: chance,
  /** A family's text arrives twice, with two ids. */
  inboundEchoed: chance,
  /** A family's long text comes in the parts it travelled in, for toeline to join. */
  inboundInParts: z.boolean().default(false),
  /** ... the last part first. */
  inboundPartsShuffled: chance,
  /** ... each part lost with this chance. */
  inboundPartLost: chance,
  /** Same seed, same dice. */
  seed: z.number().int().default(1),
});
export type Faults = z.output<typeof FAULTS>;

export const NO_FAULTS: Faults = FAULTS.parse({});

/** Dice that fall the same way for the same seed (mulberry32), so that a run with faults can be repeated. */
export class Dice {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** A number in [0, 1). */
  roll(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = this.#state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  }

  hits(chance: number): boolean {
    return chance > 0 && this.roll() < chance;
  }

  between(from: number, to: number): number {
    return from + Math.round(this.roll() * Math.max(0, to - from));
  }
}
