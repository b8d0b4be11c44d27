import type { Effect, StoredConversation } from '../model/effects.js';
import type { ChildFacts, StepFacts } from '../model/family.js';
import type { Lane } from '../model/texts.js';
import type { TriageRules } from '../triage/rules.js';
import { type Finding, findings } from '../triage/triage.js';
import type { CheckInDefinitions, Definition, Silence } from './definition.js';
import { type Place, toStored } from './machine.js';

/** What every part of one step works with. */
export interface Turn {
  readonly definitions: CheckInDefinitions;
  readonly rules: TriageRules;
  readonly facts: StepFacts;
  readonly now: number;
}

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
/** An automated reply that is a day late answers nothing any more. */
const REPLY_KEEPS_MS = 24 * HOUR;

export interface Outgoing {
  readonly wording: string;
  readonly child: ChildFacts | null;
  readonly lane: Lane;
  readonly kind?: string;
  readonly key?: string;
  readonly values?: Readonly<Record<string, string>>;
  readonly definition?: Definition;
  readonly language?: string;
  readonly expires?: number | null;
  /** No direct reply to a text of the family: it keeps the sending hours. */
  readonly keepsHours?: boolean;
}

/**
 * A text to the guardian of this turn. A safety text is sent at least once, never expires and ignores hours, quiet
 * and limits; a direct reply ignores the hours only (the family has just written); a check-in keeps them.
 */
export function text(turn: Turn, out: Outgoing): Effect {
  const { guardian, clinic } = turn.facts;
  const isSafety = out.lane === 'safety';
  const templates = out.definition?.wordings[out.wording];
  return {
    type: 'text',
    childId: out.child?.id ?? null,
    kind: out.kind ?? (isSafety ? 'safety' : 'reply'),
    wording: out.wording,
    values: {
      child: out.child?.calledInTexts ?? namesOf(turn.facts),
      clinic: clinic.name,
      call: clinic.callNumber,
      emergency: clinic.emergencyNumber,
      ...out.values,
    },
    ...(templates ? { templates } : {}),
    ...(out.language === undefined ? {} : { language: out.language }),
    lane: out.lane,
    promised: isSafety ? 'at-least-once' : 'at-most-once',
    key: out.key ?? `${out.wording}:${guardian.id}:${turn.now}`,
    notBefore: null,
    expires: isSafety ? null : (out.expires ?? turn.now + REPLY_KEEPS_MS),
    ignoresHours: isSafety || (out.lane === 'answer' && out.keepsHours !== true),
  };
}

function namesOf(facts: StepFacts): string {
  return facts.children.map(({ calledInTexts }) => calledInTexts).join(', ');
}

/** Stores where a conversation stands. */
export function store(definition: Definition, place: Place, child: ChildFacts | null): StoredConversation {
  const question = place.kind === 'question' ? definition.questions[place.name] : undefined;
  return {
    checkIn: definition.name,
    version: definition.version,
    childId: child?.id ?? null,
    snapshot: toStored(place),
    asked: question?.asked ?? 'open',
    state: question ? 'asking' : 'done',
  };
}

/** How long a question waits for an answer about a child in its phase, and what its silence raises. */
export function silenceOf(definition: Definition, child: ChildFacts | null, question: string): Silence {
  const own = definition.questions[question]?.silence;
  if (own) return own;
  const fits = definition.silence.find(
    ({ phases }) => phases.length === 0 || (child?.phase != null && phases.includes(child.phase)),
  );
  const fallback = fits ?? definition.silence[0];
  if (!fallback) throw new Error(`the definition ${definition.name} has no silence`);
  return fallback;
}

/** Asks the question a conversation stands at and sets the timer of its silence. */
export function ask(
  turn: Turn,
  definition: Definition,
  place: Place,
  child: ChildFacts | null,
  how: { readonly lane: Lane; readonly key?: string; readonly values?: Readonly<Record<string, string>> },
): Effect[] {
  if (place.kind !== 'question') return [];
  const question = definition.questions[place.name];
  if (!question) throw new Error(`${definition.name} has no question ${place.name}`);
  const silence = silenceOf(definition, child, place.name);
  const waits = (silence.again ?? 0) + silence.person;
  const wording = place.asking === 'asked' ? question.text : question.again;
  return [
    text(turn, {
      ...how,
      wording,
      child,
      kind: definition.name,
      definition,
      expires: turn.now + waits * MINUTE,
      values: { ...childrenByNumber(turn.facts), ...how.values },
    }),
    wake(turn, silence, place.asking === 'asked'),
  ];
}

function wake(turn: Turn, silence: Silence, isFirstAsking: boolean): Effect {
  if (isFirstAsking && silence.again !== null) {
    return { type: 'wake-at', at: turn.now + silence.again * MINUTE, reason: 'repeat' };
  }
  return { type: 'wake-at', at: turn.now + silence.person * MINUTE, reason: 'silence' };
}

/** `{first}`, `{second}` ... for "which child?". */
function childrenByNumber(facts: StepFacts): Record<string, string> {
  const places = ['first', 'second', 'third', 'fourth'];
  return Object.fromEntries(
    facts.children.slice(0, places.length).map((child, index) => [places[index] ?? '', child.calledInTexts]),
  );
}

/** Flags raised by the names of their rules. */
export function byName(turn: Turn, child: ChildFacts | null, ...names: string[]): Finding[] {
  return findings(turn.rules, {
    reading: NOTHING_READ,
    child,
    clinic: turn.facts.clinic,
    openMatters: mattersOf(turn.facts, child),
    now: turn.now,
    byName: names,
  });
}

export function raiseAll(found: readonly Finding[], child: ChildFacts | null): Effect[] {
  return found.map(({ flag }) => ({ type: 'raise-flag', childId: child?.id ?? null, flag }));
}

export function mattersOf(facts: StepFacts, child: ChildFacts | null) {
  return facts.openMatters.filter(({ childId }) => childId === (child?.id ?? null));
}

export const NOTHING_READ = {
  signs: [],
  denied: [],
  hours: null,
  intent: null,
  urgency: 'none',
  understood: 1,
  evidence: [],
  language: 'en',
  unread: [],
} as const;
