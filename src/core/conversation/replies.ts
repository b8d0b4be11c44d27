import type { Effect, Step } from '../model/effects.js';
import type { ChildFacts } from '../model/family.js';
import type { Finding } from '../triage/triage.js';
import { begin } from './machine.js';
import { ask, mattersOf, store, type Turn, text } from './turn.js';
import type { Understood } from './understood.js';

/** Opens one question of the open door in place of whatever stood open. */
export function openQuestion(turn: Turn, said: Understood, question: string, top: Finding | undefined): Step {
  const door = turn.definitions.current['open-door'];
  const place = begin(door, whichQuestion(turn, question), aboutText(said, top));
  return {
    conversation: store(door, place, said.child),
    effects: ask(turn, door, place, said.child, { lane: 'answer' }),
  };
}

function aboutText(said: Understood, top: Finding | undefined): Record<string, string> {
  const about: Record<string, string> = {};
  if (top) about.matter = top.flag.matter;
  if (said.isUnsureWhose) {
    about.held = JSON.stringify(said.meant);
    about.words = said.text;
  }
  return about;
}

/** The text of the most urgent flag that has one. */
export function familyText(turn: Turn, found: readonly Finding[], child: ChildFacts | null): Effect[] {
  const wording = found.find(({ rule }) => rule.family !== null)?.rule.family;
  if (!wording) return [];
  return [text(turn, { wording, child, lane: 'answer' })];
}

export function politeReply(turn: Turn, said: Understood): Effect[] {
  const { child, meant } = said;
  const reply = (wording: string, values?: Record<string, string>) => [
    text(turn, { wording, child, lane: 'answer', ...(values ? { values } : {}) }),
  ];
  if (meant.hours !== null) {
    const hours = typeof meant.hours === 'number' ? String(meant.hours) : meant.hours.join('-');
    return reply('wear-noted', { hours });
  }
  if (meant.intent === 'all-well') return reply(hasOpenTrouble(turn, child) ? 'better-noted' : 'well-noted');
  if (meant.intent !== null) return [];
  return reply('greeting');
}

/** "Better now" is added to what is open; it lowers nothing until a nurse has looked. */
export function betterNotes(turn: Turn, { child, meant, text: words }: Understood): Effect[] {
  const isBetter = meant.intent === 'all-well' || (meant.signs.length === 0 && meant.denied.length > 0);
  if (!isBetter) return [];
  return mattersOf(turn.facts, child).map(({ matter }) => ({
    type: 'add-to-flag',
    childId: child?.id ?? null,
    matter,
    note: `The family writes: "${words}"`,
  }));
}

function hasOpenTrouble(turn: Turn, child: ChildFacts | null): boolean {
  return mattersOf(turn.facts, child).length > 0;
}

/** "Which child?" names as many children as share the phone. */
function whichQuestion(turn: Turn, question: string): string {
  return question === 'which-child' && turn.facts.children.length > 2 ? 'which-of-three' : question;
}
