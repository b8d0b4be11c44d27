import type { Effect, Step, StoredConversation } from '../model/effects.js';
import type { ChildFacts, StepFacts } from '../model/family.js';
import type { FlagOutcome, FlagRaised, Matter } from '../model/flag.js';
import type { Reading } from '../model/reading.js';
import type { Urgency } from '../model/signs.js';
import type { CheckIn } from '../model/texts.js';
import { ruleNamed, type TriageRules } from '../triage/rules.js';
import { findings, triage } from '../triage/triage.js';
import type { CheckInDefinitions } from './definition.js';
import { advance, begin } from './machine.js';
import { respond } from './respond.js';
import { closed } from './set-words.js';
import { start } from './start.js';
import { NOTHING_READ, store, type Turn, text } from './turn.js';
import { wakeUp } from './wake.js';

/**
 * What follows from one text of a guardian: the conversation to store and what the shell must do. Danger breaks
 * through whatever stands open; a text that fits nothing goes to a person. Pure.
 */
export function onText(
  definitions: CheckInDefinitions,
  rules: TriageRules,
  input: {
    readonly reading: Reading;
    readonly text: string;
    readonly facts: StepFacts;
    /** The guardian's conversation that is asking, or null. */
    readonly conversation: StoredConversation | null;
    /** ms */
    readonly now: number;
  },
): Step {
  const turn: Turn = { definitions, rules, facts: input.facts, now: input.now };
  return respond(turn, input);
}

/**
 * Begins a check-in with its first question and the timer of its silence, or says in `notBegun` why not (a stopped
 * number, quiet, the weekly limit, a question that must stand, a family that does not read: then a call task). Pure.
 */
export function startCheckIn(
  definitions: CheckInDefinitions,
  rules: TriageRules,
  input: {
    readonly checkIn: CheckIn;
    readonly child: ChildFacts;
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
    readonly for: string;
  },
): Step {
  return start({ definitions, rules, facts: input.facts, now: input.now }, input);
}

/** A timer set by `wake-at` has come. Pure. */
export function onWake(
  definitions: CheckInDefinitions,
  rules: TriageRules,
  input: {
    readonly reason: 'repeat' | 'silence' | 'follow-up';
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly pending?: StoredConversation | null;
    readonly now: number;
  },
): Step {
  return wakeUp({ definitions, rules, facts: input.facts, now: input.now }, input);
}

/**
 * Another guardian of the child has answered: this one's open question ends without a word. Null when none was open.
 */
export function onAnsweredElsewhere(
  definitions: CheckInDefinitions,
  rules: TriageRules,
  input: {
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
  },
): StoredConversation | null {
  return closed({ definitions, rules, facts: input.facts, now: input.now }, input.conversation);
}

/** A text from a number nobody enrolled: one flag for a person, as urgent as its words. Pure. */
export function onUnknownNumber(
  rules: TriageRules,
  reading: Reading,
  now: number,
  words?: string,
): FlagRaised {
  const [top] = triage(rules, {
    reading,
    child: null,
    clinic: { timeZone: 'UTC' },
    openMatters: [],
    now,
    ...(words === undefined ? {} : { text: words }),
  });
  const base = flagByName(rules, 'unknown-number', null, now);
  if (!top) return base;
  return {
    ...base,
    urgency: top.urgency,
    risk: Math.max(base.risk, top.risk),
    limitMinutes: Math.min(base.limitMinutes, top.limitMinutes),
    reason: `A text from a number nobody enrolled. ${top.reason}`,
    signs: reading.signs,
    evidence: reading.evidence,
  };
}

/** Key of messages.yaml for the answer to an unknown number: danger is answered with where to go. */
export function replyToUnknownNumber(flag: FlagRaised): { wording: string; lane: 'safety' | 'answer' } {
  return flag.urgency === 'now'
    ? { wording: 'go-now-unknown', lane: 'safety' }
    : { wording: 'unknown-number', lane: 'answer' };
}

/** A gap in a child's course, as a flag. Pure. */
export function onCourseAlert(
  rules: TriageRules,
  alert: {
    readonly code: string;
    readonly reason: string;
    readonly source: string;
    /** How soon a person should look; left out: as the rule `course-alert` says. */
    readonly urgency?: FlagRaised['urgency'];
  },
  child: ChildFacts,
  now: number,
): FlagRaised {
  const flag = flagByName(rules, 'course-alert', child, now);
  // Its source stands beside it on the child's page; a flag must be short enough for a small phone.
  const about = { rule: alert.code, reason: alert.reason };
  if (alert.urgency === undefined) return { ...flag, ...about };
  return { ...flag, ...about, urgency: alert.urgency, limitMinutes: rules.limits[alert.urgency] };
}

function flagByName(rules: TriageRules, name: string, child: ChildFacts | null, now: number): FlagRaised {
  const found = findings(rules, {
    reading: NOTHING_READ,
    child,
    clinic: { timeZone: 'UTC' },
    openMatters: [],
    now,
    byName: [name],
  });
  const [first] = found;
  if (!first) throw new Error(`the rule ${ruleNamed(rules, name).id} raised nothing`);
  return first.flag;
}

/** A family at the hospital gets no everyday texts for so long. Common practice, no source. */
const HOSPITAL_MS = 2 * 24 * 3_600_000;
const FOLLOW_UP_AFTER_MS = 24 * 3_600_000;
/** Closings after which nothing is said to the family. */
const WITHOUT_WORD: readonly FlagOutcome[] = ['wrongly-read', 'not-reached', 'no-action-needed'];
const NOT_ASKED_AFTER: readonly Matter[] = [
  'died',
  'stop',
  'unreachable',
  'unknown-number',
  'silent',
  'system',
  'course',
  'unread',
  'request',
  'visit',
];

/**
 * A nurse has closed a matter: the family hears what happens next, and a day later is asked once whether it got
 * better (health matters of urgency today or now only). Pure.
 */
export function onClosed(
  definitions: CheckInDefinitions,
  rules: TriageRules,
  input: {
    readonly matter: Matter;
    readonly urgency: Urgency;
    readonly outcome: FlagOutcome;
    readonly child: ChildFacts | null;
    readonly facts: StepFacts;
    readonly conversation: StoredConversation | null;
    readonly now: number;
  },
): Step {
  const turn: Turn = { definitions, rules, facts: input.facts, now: input.now };
  const { guardian } = input.facts;
  const isLeftInPeace =
    guardian.isStopped || (guardian.quietUntil !== null && input.now < guardian.quietUntil);
  if (isLeftInPeace || input.matter === 'died' || WITHOUT_WORD.includes(input.outcome)) {
    return { conversation: null, effects: [] };
  }
  const wording = `next-${input.outcome}`;
  const told: Effect[] = [text(turn, { wording, child: input.child, lane: 'answer', keepsHours: true })];
  if (input.outcome === 'sent-to-emergency') {
    told.push({ type: 'be-quiet-until', at: input.now + HOSPITAL_MS, why: 'hospital' });
  }
  const isFollowed =
    !NOT_ASKED_AFTER.includes(input.matter) &&
    (input.urgency === 'now' || input.urgency === 'today') &&
    guardian.reads;
  if (!isFollowed || input.conversation?.state === 'asking') return { conversation: null, effects: told };
  const door = definitions.current['open-door'];
  const place = advance(door, begin(door, 'better', { matter: input.matter }), { type: 'stopped' });
  return {
    conversation: store(door, place, input.child),
    effects: [...told, { type: 'wake-at', at: input.now + FOLLOW_UP_AFTER_MS, reason: 'follow-up' }],
  };
}
