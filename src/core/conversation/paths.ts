import type { Definition } from './definition.js';
import { advance, begin, type Place, type TalkEvent } from './machine.js';

/** One way through a check-in: the events and the places they led to, from the first question to an end. */
export interface Path {
  readonly begin: string;
  readonly steps: readonly { readonly event: TalkEvent; readonly place: Place }[];
}

/** What a family or a timer may do at a place. */
export function eventsAt(definition: Definition, place: Place): TalkEvent[] {
  if (place.kind === 'end') return [];
  const answers = Object.keys(definition.questions[place.name]?.answers ?? {});
  return [
    ...answers.map((name): TalkEvent => ({ type: `answer:${name}` })),
    { type: 'unclear' },
    { type: 'silence' },
  ];
}

/** A place as a short name: "toes/asked", "end well". */
export function placeName(place: Place): string {
  return place.kind === 'end' ? `end ${place.name}` : `${place.name}/${place.asking}`;
}

/** Every place that can be reached, found by really stepping the machine, with the first events that lead there. */
export function reachable(definition: Definition): Map<string, { place: Place; by: readonly TalkEvent[] }> {
  const found = new Map<string, { place: Place; by: readonly TalkEvent[] }>();
  const waiting = definition.begin
    .filter((first) => first in definition.questions)
    .map((first) => ({ place: begin(definition, first, {}), by: [] as readonly TalkEvent[] }));
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const name = placeName(next.place);
    if (found.has(name)) continue;
    found.set(name, next);
    for (const event of eventsAt(definition, next.place)) {
      waiting.push({ place: advance(definition, next.place, event), by: [...next.by, event] });
    }
  }
  return found;
}

/** Every path from each beginning to an end that visits no place twice. */
export function allPaths(definition: Definition): Path[] {
  return definition.begin.flatMap((first) =>
    walk(definition, first, begin(definition, first, {}), [], new Set()),
  );
}

function walk(
  definition: Definition,
  first: string,
  place: Place,
  steps: Path['steps'],
  seen: ReadonlySet<string>,
): Path[] {
  if (place.kind === 'end') return [{ begin: first, steps }];
  const name = placeName(place);
  if (seen.has(name)) return [];
  return eventsAt(definition, place).flatMap((event) => {
    const next = advance(definition, place, event);
    return walk(definition, first, next, [...steps, { event, place: next }], new Set([...seen, name]));
  });
}
