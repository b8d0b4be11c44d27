import { assign, initialTransition, setup, transition } from 'xstate';
import type { Definition } from './definition.js';

/** Ends every definition has besides its own. */
export const COMMON_ENDS = ['unclear', 'silent', 'red', 'overtaken', 'stopped'] as const;
export type CommonEnd = (typeof COMMON_ENDS)[number];

/** Where a question stands: asked once, asked again in other words, or repeated after silence. */
export const ASKINGS = ['asked', 'rephrased', 'repeated'] as const;
export type Asking = (typeof ASKINGS)[number];

export type TalkEvent =
  | { readonly type: `begin:${string}` }
  | { readonly type: `answer:${string}` }
  | { readonly type: `aside:${string}`; readonly question: string; readonly answer: string }
  | { readonly type: 'unclear' | 'silence' | 'red' | 'overtaken' | 'stopped' };

export interface TalkContext {
  /** Answers to questions not yet asked, told in passing: question -> answer. */
  readonly aside: Readonly<Record<string, string>>;
  /** What the conversation is about besides its child: a matter, a text held until the child is known. */
  readonly about: Readonly<Record<string, string>>;
}

const talk = setup({
  types: {
    context: {} as TalkContext,
    events: {} as TalkEvent,
    input: {} as { about: Readonly<Record<string, string>> },
  },
});

function compile(definition: Definition) {
  return talk.createMachine({
    id: definition.name,
    initial: 'start',
    context: ({ input }) => ({ aside: {}, about: input.about }),
    on: {
      red: '.end-red',
      overtaken: '.end-overtaken',
      stopped: '.end-stopped',
      'aside:heard': {
        actions: assign({
          aside: ({ context, event }) =>
            event.type.startsWith('aside:') && 'question' in event
              ? { ...context.aside, [event.question]: event.answer }
              : context.aside,
        }),
      },
    },
    states: {
      start: { on: Object.fromEntries(definition.begin.map((name) => [`begin:${name}`, name])) },
      ...Object.fromEntries(
        Object.keys(definition.questions).map((name) => [name, question(definition, name)]),
      ),
      ...Object.fromEntries(endNames(definition).map((name) => [`end-${name}`, { type: 'final' as const }])),
    },
  });
}

function question(definition: Definition, name: string) {
  const answers = Object.entries(definition.questions[name]?.answers ?? {});
  return {
    initial: 'asked',
    on: Object.fromEntries(
      answers.map(([answer, { next }]) => [
        `answer:${answer}`,
        `#${definition.name}.${stateOf(definition, next)}`,
      ]),
    ),
    states: {
      asked: { on: { unclear: 'rephrased', silence: 'repeated' } },
      rephrased: { on: { unclear: toEnd(definition, 'unclear'), silence: toEnd(definition, 'silent') } },
      repeated: { on: { unclear: 'rephrased', silence: toEnd(definition, 'silent') } },
    },
  };
}

function toEnd(definition: Definition, end: CommonEnd): string {
  return `#${definition.name}.end-${end}`;
}

/** The state an answer's `next` names: a question under its own name, an end with `end-` before it. */
export function stateOf(definition: Definition, next: string): string {
  return next in definition.questions ? next : `end-${next}`;
}

export function endNames(definition: Definition): string[] {
  return [...new Set([...Object.keys(definition.ends), ...COMMON_ENDS])];
}

type Machine = ReturnType<typeof compile>;
const compiled = new WeakMap<Definition, Machine>();

/** The XState machine of a definition; made once, since a definition never changes under its version. */
export function machineOf(definition: Definition): Machine {
  const known = compiled.get(definition);
  if (known) return known;
  const machine = compile(definition);
  compiled.set(definition, machine);
  return machine;
}

/** Where a conversation stands, as plain data. */
export type Place =
  | {
      readonly kind: 'question';
      readonly name: string;
      readonly asking: Asking;
      readonly context: TalkContext;
    }
  | { readonly kind: 'end'; readonly name: string; readonly context: TalkContext };

/** What is stored: the state's name(s) and the context. Plain JSON. */
export interface StoredPlace {
  readonly value: string | Readonly<Record<string, string>>;
  readonly context: TalkContext;
}

/** Begins a definition at one of its first questions. Pure. */
export function begin(definition: Definition, name: string, about: Readonly<Record<string, string>>): Place {
  const machine = machineOf(definition);
  const [start] = initialTransition(machine, { about });
  const [next] = transition(machine, start, { type: `begin:${name}` });
  return placeOf(next.value, next.context);
}

/** The next place after an event. An event the place does not know leaves it as it is. Pure. */
export function advance(definition: Definition, place: Place, event: TalkEvent): Place {
  const machine = machineOf(definition);
  const { value, context } = toStored(place);
  const [next] = transition(machine, machine.resolveState({ value, context }), event);
  return placeOf(next.value, next.context);
}

export function toStored(place: Place): StoredPlace {
  const value = place.kind === 'question' ? { [place.name]: place.asking } : `end-${place.name}`;
  return { value, context: place.context };
}

function placeOf(value: unknown, context: TalkContext): Place {
  if (typeof value === 'string' && value.startsWith('end-')) {
    return { kind: 'end', name: value.slice('end-'.length), context };
  }
  const [pair] = typeof value === 'object' && value !== null ? Object.entries(value) : [];
  const asking = ASKINGS.find((one) => one === pair?.[1]);
  if (!pair || !asking) throw new Error(`a conversation cannot stand at ${JSON.stringify(value)}`);
  return { kind: 'question', name: pair[0], asking, context };
}
