import type { Effect, Step, StoredConversation } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import type { CheckIn } from '../model/texts.js';
import type { Definition } from './definition.js';
import { advance, begin } from './machine.js';
import { restore } from './restore.js';
import { ask, byName, raiseAll, silenceOf, store, type Turn, text } from './turn.js';

export interface CheckInToStart {
  readonly checkIn: CheckIn;
  readonly child: ChildFacts;
  /** The guardian's conversation that is asking, if any. */
  readonly conversation: StoredConversation | null;
  /** The date or visit it belongs to; part of the key that keeps it from going out twice. */
  readonly for: string;
}

/** Begins a check-in, or says why not. Pure. */
export function start(turn: Turn, input: CheckInToStart): Step {
  const definition = turn.definitions.current[input.checkIn];
  const { guardian } = turn.facts;
  const { child } = input;
  const nothing = { conversation: null, effects: [] };
  if (guardian.isStopped)
    return { ...callTask(turn, child, definition['when-stopped']), notBegun: 'stopped' };
  if (isQuiet(turn)) return { ...nothing, notBegun: 'quiet' };
  if (isOverLimit(turn, definition)) return { ...nothing, notBegun: 'weekly-limit' };
  if (!guardian.reads) return notReading(turn, definition, input);
  const standing = input.conversation?.state === 'asking' ? input.conversation : null;
  if (standing && mustStand(turn, standing, definition)) return { ...nothing, notBegun: 'question-open' };
  const before = standing ? overtake(turn, standing) : [];
  const [first] = definition.begin;
  const place = begin(definition, first ?? '', {});
  const key = `${input.checkIn}:${child.id}:${guardian.id}:${input.for}`;
  return {
    conversation: store(definition, place, child),
    effects: [...before, ...ask(turn, definition, place, child, { lane: 'check-in', key })],
  };
}

function isQuiet({ facts, now }: Turn): boolean {
  return facts.guardian.quietUntil !== null && now < facts.guardian.quietUntil;
}

function isOverLimit({ facts, definitions }: Turn, definition: Definition): boolean {
  return !definition['despite-weekly-limit'] && (facts.sentThisWeek ?? 0) >= definitions.weeklyLimit;
}

function callTask(turn: Turn, child: ChildFacts, rule: string | null): Step {
  return { conversation: null, effects: rule === null ? [] : raiseAll(byName(turn, child, rule), child) };
}

/** Families who do not read get one simple text without a question, or none, and a person calls. */
function notReading(turn: Turn, definition: Definition, input: CheckInToStart): Step {
  const { text: wording, raises } = definition['not-reading'];
  const { child } = input;
  const effects: Effect[] = [...callTask(turn, child, raises).effects];
  if (wording !== null) {
    const key = `${input.checkIn}:${child.id}:${turn.facts.guardian.id}:${input.for}`;
    effects.push(text(turn, { wording, child, lane: 'check-in', key, kind: input.checkIn, definition }));
  }
  return { conversation: null, effects, notBegun: 'not-reading' };
}

/** A question of the open door, or of a check-in of the danger days, is not pushed aside by an everyday one. */
function mustStand(turn: Turn, standing: StoredConversation, next: Definition): boolean {
  const present = turn.definitions.byVersion.get(standing.version);
  if (!present) return false;
  if (present.name === 'open-door') return true;
  return present['despite-weekly-limit'] && !next['despite-weekly-limit'];
}

/** Ends the question that stood, and treats it as the silence it was. */
function overtake(turn: Turn, standing: StoredConversation): Effect[] {
  const child = turn.facts.children.find(({ id }) => id === standing.childId) ?? null;
  const restored = restore(turn.definitions, standing);
  if (!restored) return raiseAll(byName(turn, child, 'cannot-restore'), child);
  advance(restored.definition, restored.place, { type: 'overtaken' });
  const { raises } = silenceOf(restored.definition, child, restored.place.name);
  return raises === null ? [] : raiseAll(byName(turn, child, raises), child);
}
