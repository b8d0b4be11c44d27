import type { CheckInDefinitions } from '../../../src/core/conversation/definition.js';
import { onText, onWake, startCheckIn } from '../../../src/core/conversation/step.js';
import type { Effect, Step, StoredConversation } from '../../../src/core/model/effects.js';
import type { ChildFacts, StepFacts } from '../../../src/core/model/family.js';
import type { FlagRaised, Matter } from '../../../src/core/model/flag.js';
import type { ChildId } from '../../../src/core/model/ids.js';
import type { Reading } from '../../../src/core/model/reading.js';
import { URGENCIES, type Urgency } from '../../../src/core/model/signs.js';
import type { CheckIn } from '../../../src/core/model/texts.js';
import { facts as family, NOW, rules } from './family.js';

type TextOut = Extract<Effect, { type: 'text' }>;

interface OpenFlag {
  readonly childId: ChildId | null;
  readonly matter: Matter;
  readonly urgency: Urgency;
  readonly openedAt: number;
  readonly times: number;
}

/**
 * Carries out effects as the shell does, in memory: one conversation of a guardian, flags merged by child and
 * matter, stops and languages remembered. It is the yardstick the property tests hold the steps against.
 */
export class Play {
  conversation: StoredConversation | null = null;
  wake: { at: number; reason: 'repeat' | 'silence' | 'follow-up' } | null = null;
  now = NOW;
  readonly texts: TextOut[] = [];
  readonly flags = new Map<string, OpenFlag>();
  readonly notes: string[] = [];
  readonly stops: string[] = [];
  isStopped = false;
  language = 'en';
  /** Questions sent in the last step. */
  asked: string[] = [];

  constructor(
    readonly definitions: CheckInDefinitions,
    readonly children: readonly ChildFacts[],
    readonly more: Partial<StepFacts> = {},
  ) {}

  facts(): StepFacts {
    const base = family(this.children, this.more);
    const guardian = {
      ...base.guardian,
      isStopped: this.isStopped || base.guardian.isStopped,
      language: this.language,
    };
    return {
      ...base,
      guardian,
      openMatters: [...this.flags.values()],
      asked: this.conversation?.asked ?? 'open',
    };
  }

  private asking(): StoredConversation | null {
    return this.conversation?.state === 'asking' ? this.conversation : null;
  }

  start(checkIn: CheckIn, child = this.children[0]): Step {
    if (!child) throw new Error('a check-in needs a child');
    const input = {
      checkIn,
      child,
      facts: this.facts(),
      conversation: this.asking(),
      now: this.now,
      for: 'today',
    };
    return this.carryOut(startCheckIn(this.definitions, rules, input));
  }

  say(text: string, reading: Reading): Step {
    this.now += 60_000;
    const input = { reading, text, facts: this.facts(), conversation: this.asking(), now: this.now };
    return this.carryOut(onText(this.definitions, rules, input));
  }

  /** Lets time pass until the timer of the conversation, if one is set. */
  wait(): Step | null {
    if (!this.wake) return null;
    const { at, reason } = this.wake;
    this.now = Math.max(this.now, at);
    this.wake = null;
    const input = { reason, facts: this.facts(), conversation: this.conversation, now: this.now };
    return this.carryOut(onWake(this.definitions, rules, input));
  }

  private carryOut(step: Step): Step {
    if (step.conversation) {
      this.conversation = JSON.parse(JSON.stringify(step.conversation)) as StoredConversation;
      if (step.conversation.state === 'done') this.wake = null;
    }
    this.asked = [];
    for (const effect of step.effects) this.effect(effect);
    return step;
  }

  private effect(effect: Effect): void {
    if (effect.type === 'text') {
      this.texts.push(effect);
      if (this.isQuestion(effect.wording)) this.asked.push(effect.wording);
    }
    if (effect.type === 'raise-flag') this.raise(effect.childId, effect.flag);
    if (effect.type === 'add-to-flag') this.notes.push(`${effect.matter}: ${effect.note}`);
    if (effect.type === 'wake-at') this.wake = { at: effect.at, reason: effect.reason };
    if (effect.type === 'stop-texts') {
      this.stops.push(`${effect.scope} ${effect.why}`);
      if (effect.scope === 'number') this.isStopped = true;
    }
    if (effect.type === 'resume-texts') this.isStopped = false;
    if (effect.type === 'set-language') this.language = effect.language;
  }

  private raise(childId: ChildId | null, flag: FlagRaised): void {
    const key = `${childId} ${flag.matter}`;
    const known = this.flags.get(key);
    const isWorse = known && URGENCIES.indexOf(flag.urgency) > URGENCIES.indexOf(known.urgency);
    this.flags.set(key, {
      childId,
      matter: flag.matter,
      urgency: !known || isWorse ? flag.urgency : known.urgency,
      openedAt: known?.openedAt ?? this.now,
      times: (known?.times ?? 0) + 1,
    });
  }

  isQuestion(wording: string): boolean {
    return [...this.definitions.byVersion.values()].some(({ questions }) =>
      Object.values(questions).some(({ text, again }) => wording === text || wording === again),
    );
  }

  urgencies(): string[] {
    return [...this.flags.values()].map(({ matter, urgency }) => `${matter} ${urgency}`).toSorted();
  }
}
