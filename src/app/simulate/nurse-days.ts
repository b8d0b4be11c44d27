import { DateTime } from 'luxon';
import { onText, onWake, startCheckIn } from '../../core/conversation/step.js';
import type { Step, StoredConversation } from '../../core/model/effects.js';
import type { ChildFacts } from '../../core/model/family.js';
import type { FlagRaised } from '../../core/model/flag.js';
import type { ReadingPhase } from '../../core/model/signs.js';
import { readText } from '../../core/reading/read.js';
import { escalationSteps } from '../../core/triage/escalation.js';
import { dueAt, isOpen } from '../../core/triage/limits.js';
import { rankFlags } from '../../core/triage/rank.js';
import type { LoadedFlows } from '../../jobs/core-from-flows.js';
import { Agenda } from './agenda.js';
import { Chance } from './chance.js';
import {
  DAY,
  type Family,
  FIRST_DAY,
  factsOf,
  flagFrom,
  HOURS,
  MINUTE,
  MINUTES,
  type NurseDaysOptions,
  ON_CALL_MINUTES,
  ROTA,
  rank,
  type SimulatedDays,
  type SimulatedFlag,
} from './clinic.js';
import { checkInOn, enrol, onDay, TROUBLES } from './families.js';

/** Lives through days of a clinic with the real reader, conversation and triage; only people and time are invented. */
export function nurseDays(flows: LoadedFlows, options: NurseDaysOptions): SimulatedDays {
  return new NurseDays(flows, options).run();
}

class NurseDays {
  readonly #chance: Chance;
  readonly #agenda = new Agenda();
  readonly #families: Family[];
  readonly #flags: SimulatedFlag[] = [];
  readonly #escalations: SimulatedDays['escalations'][number][] = [];
  readonly #start = DateTime.fromISO(FIRST_DAY, { zone: HOURS.timeZone }).toMillis();
  #free: number;
  #textsIn = 0;
  #textsOut = 0;
  #questions = 0;

  constructor(
    readonly flows: LoadedFlows,
    readonly options: NurseDaysOptions,
  ) {
    this.#chance = new Chance(options.seed);
    this.#free = options.nurses;
    this.#families = enrol(options.families, this.#chance, FIRST_DAY).map((one) => ({
      ...one,
      conversation: null,
      wake: null,
      open: new Map(),
      told: [],
    }));
  }

  run(): SimulatedDays {
    for (let day = 0; day < this.options.days; day += 1) {
      const midnight = this.#start + day * DAY;
      for (const family of this.#families) this.#planDay(family, day, midnight);
      this.#agenda.add(midnight + 8 * 60 * MINUTE, (now) => this.#work(now));
    }
    const to = this.#start + this.options.days * DAY;
    this.#agenda.runUntil(to);
    return {
      from: this.#start,
      to,
      flags: this.#flags,
      textsIn: this.#textsIn,
      textsOut: this.#textsOut,
      questions: this.#questions,
      escalations: this.#escalations,
    };
  }

  #planDay(family: Family, day: number, midnight: number): void {
    const checkIn = checkInOn(family.phase, family.day + day);
    if (checkIn) {
      const at = midnight + checkIn.hour * 60 * MINUTE + this.#chance.whole(0, 59) * MINUTE;
      this.#agenda.add(at, (now) => {
        const child = this.#child(family, now);
        const input = {
          checkIn: checkIn.checkIn,
          child,
          ...this.#standing(family, child, now),
          for: `${day}`,
        };
        this.#carryOut(family, startCheckIn(this.flows.definitions, this.flows.rules, input), now);
      });
    }
    for (const { aDay, words } of TROUBLES[family.phase]) {
      if (!this.#chance.happens(aDay)) continue;
      const at = midnight + this.#chance.whole(6 * 60, 23 * 60) * MINUTE;
      const text = this.#chance.pick(words);
      this.#agenda.add(at, (now) => this.#say(family, text, now));
    }
  }

  #child(family: Family, now: number): ChildFacts {
    const day = family.day + Math.floor((now - this.#start) / DAY);
    const child = onDay(family.child, family.phase, day);
    return { ...child, recentSigns: family.told.toReversed() };
  }

  #standing(family: Family, child: ChildFacts, now: number) {
    const conversation = family.conversation?.state === 'asking' ? family.conversation : null;
    return { facts: factsOf(child, family), conversation, now };
  }

  #say(family: Family, text: string, now: number): void {
    this.#textsIn += 1;
    const child = this.#child(family, now);
    const standing = this.#standing(family, child, now);
    const asked = standing.conversation?.asked ?? 'open';
    const reading = readText(this.flows.languages, { text, lang: 'en', asked, phase: family.phase });
    const step = onText(this.flows.definitions, this.flows.rules, { reading, text, ...standing });
    for (const sign of reading.signs) family.told.push({ sign, at: now });
    this.#carryOut(family, step, now);
  }

  #carryOut(family: Family, step: Step, now: number): void {
    if (step.conversation) {
      family.conversation = step.conversation;
      if (step.conversation.state === 'done') family.wake = null;
    }
    for (const effect of step.effects) {
      if (effect.type === 'text') this.#textsOut += 1;
      if (effect.type === 'raise-flag') this.#raise(family, effect.flag, now);
      if (effect.type === 'wake-at') this.#setTimer(family, effect, now);
    }
  }

  /** A question stands: the family may answer in its own time, or not at all. */
  #setTimer(
    family: Family,
    wake: { at: number; reason: 'repeat' | 'silence' | 'follow-up' },
    now: number,
  ): void {
    family.wake = wake;
    this.#questions += 1;
    this.#agenda.add(wake.at, (at) => {
      if (family.wake !== wake) return;
      family.wake = null;
      const child = this.#child(family, at);
      const input = {
        ...this.#standing(family, child, at),
        conversation: family.conversation,
        reason: wake.reason,
      };
      this.#carryOut(family, onWake(this.flows.definitions, this.flows.rules, input), at);
    });
    const isFurther = wake.reason === 'repeat' && !this.#chance.happens(this.options.answerRate);
    if (isFurther || !this.#chance.happens(wake.reason === 'repeat' ? 1 : 0.5)) return;
    this.#agenda.add(now + this.#chance.after(45 * MINUTE), (at) => {
      if (family.wake === wake) this.#say(family, this.#answer(family.phase, family.conversation), at);
    });
  }

  /** Nine answers of ten are the good one; assumed, no source. */
  #answer(phase: ReadingPhase, conversation: StoredConversation | null): string {
    if (conversation?.asked === 'hours')
      return String(phase === 'brace-day' ? 22 : this.#chance.whole(7, 13));
    return this.#chance.happens(0.9) ? '1' : String(this.#chance.whole(2, 3));
  }

  #raise(family: Family, raised: FlagRaised, now: number): void {
    const known = family.open.get(raised.matter);
    const due = dueAt(now, raised, HOURS);
    if (known) {
      known.texts += 1;
      if (rank(raised.urgency) > rank(known.urgency)) {
        Object.assign(known, { urgency: raised.urgency, dueAt: due, urgencyAt: now, escalatedStep: 0 });
        if (known.takenAt === null) this.#watch(known, now);
      }
      known.risk = Math.max(known.risk, raised.risk);
    } else {
      const flag = flagFrom(raised, now, due);
      family.open.set(raised.matter, flag);
      this.#flags.push(flag);
      this.#watch(flag, now);
      this.#agenda.onClose.set(flag, () => family.open.delete(raised.matter));
    }
    this.#work(now);
  }

  /** The ladder of a flag nobody has taken; outside clinic hours the nurse told of a `now` flag takes it. */
  #watch(flag: SimulatedFlag, at: number): void {
    if (flag.takenAt !== null) return;
    const unclaimed = { ...flag, openedAt: flag.urgencyAt, state: 'open' as const };
    const plan = escalationSteps(this.flows.rules, unclaimed, ROTA, HOURS, at);
    for (const { number } of plan.due) {
      flag.escalatedStep = number;
      this.#escalations.push({ at, step: number, urgency: flag.urgency });
      if (flag.urgency === 'now' && !isOpen(at, HOURS)) {
        this.#agenda.add(at + this.#chance.after(ON_CALL_MINUTES * MINUTE), (now) =>
          this.#take(flag, now, false),
        );
      }
    }
    if (plan.nextAt !== null) this.#agenda.add(plan.nextAt, (now) => this.#watch(flag, now));
  }

  /** Free nurses take the first of the queue, in clinic hours. */
  #work(now: number): void {
    while (this.#free > 0 && isOpen(now, HOURS)) {
      const waiting = this.#flags.filter(({ takenAt }) => takenAt === null);
      const [first] = rankFlags(waiting, now);
      if (!first) return;
      this.#take(first, now, true);
    }
  }

  #take(flag: SimulatedFlag, now: number, isAtDesk: boolean): void {
    if (flag.takenAt !== null) return;
    flag.takenAt = now;
    if (isAtDesk) this.#free -= 1;
    const minutes = MINUTES[flag.urgency] * (0.5 + this.#chance.next());
    this.#agenda.add(now + minutes * MINUTE, (at) => {
      flag.closedAt = at;
      this.#agenda.onClose.get(flag)?.();
      if (isAtDesk) this.#free += 1;
      this.#work(at);
    });
  }
}
