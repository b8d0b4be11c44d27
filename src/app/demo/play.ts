import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { DateTime } from 'luxon';
import { parse } from 'yaml';
import { z } from 'zod';
import { MATTERS } from '../../core/model/flag.js';
import { recordEvent } from '../../store/course-events.js';
import type { CommandIo } from '../command-io.js';
import { PROJECT_FOLDER } from '../config.js';
import type { Demonstration } from './demo.js';

const step = z.union([
  z.strictObject({ 'wait-for': z.strictObject({ phone: z.string(), kind: z.string(), within: z.number() }) }),
  z.strictObject({ says: z.strictObject({ phone: z.string(), words: z.string() }) }),
  z.strictObject({ missed: z.strictObject({ child: z.string() }) }),
]);
const script = z.strictObject({
  families: z.array(z.strictObject({ child: z.string(), story: z.string() })),
  steps: z.array(step),
  expect: z.array(
    z.strictObject({ child: z.string(), matter: z.enum(MATTERS), urgency: z.enum(['soon', 'today', 'now']) }),
  ),
});
type Script = z.infer<typeof script>;
type Step = z.infer<typeof step>;

/** One thing that happened, as printed: a sentence for people, an object with `--json`. */
type Event =
  | { readonly event: 'story'; readonly child: string; readonly story: string }
  | {
      readonly event: 'text-out' | 'text-in';
      readonly at: string;
      readonly phone: string;
      readonly words: string;
    }
  | { readonly event: 'visit-missed'; readonly at: string; readonly child: string }
  | {
      readonly event: 'flag';
      readonly at: string;
      readonly child: string;
      readonly matter: string;
      readonly urgency: string;
      readonly reason: string;
    }
  | {
      readonly event: 'expected' | 'missing';
      readonly child: string;
      readonly matter: string;
      readonly urgency: string;
    }
  | { readonly event: 'end'; readonly texts: number; readonly flags: number; readonly isAsExpected: boolean };

/**
 * Lives through `demo/play.yaml`: the clock goes from event to event, families answer, flags rise. Prints each thing as
 * it happens. Resolves to 0 only when every expected flag stands open in the queue.
 */
export async function play(demo: Demonstration, io: CommandIo, isJson: boolean): Promise<number> {
  const { families, steps, expect } = script.parse(
    parse(readFileSync(join(PROJECT_FOLDER, 'demo', 'play.yaml'), 'utf8')),
  );
  const told = new Teller(demo, io, isJson);
  await demo.time.settle();
  for (const { child, story } of families) told.say({ event: 'story', child, story });
  for (const one of steps) await take(one, demo, told);
  return told.end(expect);
}

async function take(one: Step, demo: Demonstration, told: Teller): Promise<void> {
  if ('says' in one) {
    await demo.network.type(one.says.phone, one.says.words);
    await demo.time.settle();
  } else if ('missed' in one) await miss(demo, told, one.missed.child);
  else await waitForText(demo, told, one['wait-for']);
  await told.news();
}

/** Moves from event to event until a text of this kind has reached this phone. */
async function waitForText(
  demo: Demonstration,
  told: Teller,
  wanted: { readonly phone: string; readonly kind: string; readonly within: number },
): Promise<void> {
  const until = demo.clock.now() + wanted.within * 3_600_000;
  while (!(await hasReached(demo, wanted.phone, wanted.kind))) {
    const next = await demo.time.nextDue(until);
    if (next === null)
      throw new Error(`No ${wanted.kind} reached ${wanted.phone} within ${wanted.within} hours.`);
    await demo.time.moveTo(next);
    await told.news();
  }
}

async function hasReached(demo: Demonstration, phone: string, kind: string): Promise<boolean> {
  const text = await demo.running.store.db
    .selectFrom('text_out')
    .select('id')
    .where('to_number', '=', phone)
    .where('kind', '=', kind)
    .where('state', 'in', ['accepted', 'delivered'])
    .executeTakeFirst();
  return text !== undefined;
}

async function miss(demo: Demonstration, told: Teller, name: string): Promise<void> {
  const { store, jobs } = demo.running;
  const child = await store.db
    .selectFrom('child')
    .select('id')
    .where('given_name', '=', name)
    .executeTakeFirstOrThrow();
  const zone = demo.scenario.clinic.timeZone;
  const date = DateTime.fromMillis(demo.clock.now(), { zone }).toISODate() ?? '';
  const change = {
    by: 'toeline' as const,
    now: demo.clock.now(),
    plan: jobs.core.planCourse,
    aheadMs: jobs.options.aheadMs,
  };
  await recordEvent(store, child.id, { type: 'missed', date }, change);
  told.say({ event: 'visit-missed', at: told.now(), child: name });
  await demo.time.settle();
}

/** Prints what is new since it last looked. */
class Teller {
  readonly #heard = new Map<string, number>();
  readonly #flags = new Map<string, string>();
  #texts = 0;

  constructor(
    private readonly demo: Demonstration,
    private readonly io: CommandIo,
    private readonly isJson: boolean,
  ) {}

  now(): string {
    return (
      DateTime.fromMillis(this.demo.clock.now(), { zone: this.demo.scenario.clinic.timeZone }).toISO({
        suppressMilliseconds: true,
      }) ?? ''
    );
  }

  say(event: Event): void {
    this.io.stdout.write(`${this.isJson ? JSON.stringify(event) : sentence(event)}\n`);
  }

  async news(): Promise<void> {
    for (const { number } of await this.demo.network.phones()) {
      const { thread } = await this.demo.network.phone(number);
      for (const line of thread.slice(this.#heard.get(number) ?? 0)) {
        this.#texts++;
        this.say({
          event: line.direction === 'to-family' ? 'text-out' : 'text-in',
          at: this.now(),
          phone: number,
          words: line.body,
        });
      }
      this.#heard.set(number, thread.length);
    }
    for (const flag of await this.#open()) {
      if (this.#flags.get(flag.id) === flag.urgency) continue;
      this.#flags.set(flag.id, flag.urgency);
      this.say({
        event: 'flag',
        at: this.now(),
        child: flag.child ?? 'unknown',
        matter: flag.matter,
        urgency: flag.urgency,
        reason: flag.reason,
      });
    }
  }

  async end(expected: Script['expect']): Promise<number> {
    await this.news();
    const open = await this.#open();
    let isAsExpected = true;
    for (const wanted of expected) {
      const stands = open.some(
        (flag) =>
          flag.child === wanted.child && flag.matter === wanted.matter && flag.urgency === wanted.urgency,
      );
      if (!stands) isAsExpected = false;
      this.say({ event: stands ? 'expected' : 'missing', ...wanted });
    }
    this.say({ event: 'end', texts: this.#texts, flags: open.length, isAsExpected });
    return isAsExpected ? 0 : 1;
  }

  #open() {
    return this.demo.running.store.db
      .selectFrom('flag')
      .leftJoin('child', 'child.id', 'flag.child_id')
      .select(['flag.id', 'flag.matter', 'flag.urgency', 'flag.reason', 'child.given_name as child'])
      .where('flag.state', '<>', 'closed')
      .orderBy('flag.opened_at')
      .execute();
  }
}

function sentence(event: Event): string {
  switch (event.event) {
    case 'story':
      return `Story: ${event.child}, ${event.story}`;
    case 'text-out':
      return `${event.at}  to ${event.phone}: ${event.words}`;
    case 'text-in':
      return `${event.at}  from ${event.phone}: ${event.words}`;
    case 'visit-missed':
      return `${event.at}  ${event.child} did not come`;
    case 'flag':
      return `${event.at}  FLAG ${event.urgency}: ${event.child}, ${event.matter}. ${event.reason}`;
    case 'expected':
      return `as expected: ${event.child}, ${event.matter}, ${event.urgency}`;
    case 'missing':
      return `MISSING: ${event.child}, ${event.matter}, ${event.urgency}`;
    case 'end':
      return `${event.texts} texts, ${event.flags} flags in the queue; ${event.isAsExpected ? 'all as expected' : 'not as expected'}`;
    default: {
      const never: never = event;
      throw new Error(`Nothing is said of ${JSON.stringify(never)}.`);
    }
  }
}
