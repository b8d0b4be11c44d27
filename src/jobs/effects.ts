import type { Effect, Step } from '../core/model/effects.js';
import type { GuardianId, PlannedTextId, TextInId } from '../core/model/ids.js';
import { type KnownConversation, keepConversations, type Wake } from '../store/conversations.js';
import type { GuardianNow } from '../store/facts.js';
import { addWords, raise } from '../store/flags.js';
import { addTexts, type NewText, type Waiting } from '../store/outbox.js';
import { planText } from '../store/planned.js';
import { quietNumber, resumeNumber, setLanguage, stopChild, stopNumber } from '../store/stops.js';
import type { Store } from '../store/store.js';
import { recordWear } from '../store/wear.js';
import type { Core } from './core.js';
import type { JobData } from './queues.js';

/** A step the core decided on, with whom it is about and what gave rise to it. */
export interface Deed {
  readonly guardianId: GuardianId;
  readonly who: GuardianNow;
  /** The question that stood before the step. */
  readonly before: KnownConversation | null;
  readonly step: Pick<Step, 'conversation' | 'effects'>;
  readonly textInId: TextInId | null;
  readonly plannedTextId: PlannedTextId | null;
}

/** What the queues are told once the transaction stands; if they cannot be told, the planner's sweep finds it. */
export interface Follow {
  readonly sends: readonly Waiting[];
  readonly planned: readonly JobData[];
  readonly wakes: readonly JobData[];
}

/** A check-in a conversation asks for must begin within a day, or not at all. */
const ASKED_FOR_KEEPS_MS = 86_400_000;

/** Carries steps out in the caller's transaction: conversations, flags, texts, stops. All of it stands or none. */
export async function carryOut(tx: Store, core: Core, deeds: readonly Deed[], now: number): Promise<Follow> {
  const texts: NewText[] = [];
  const planned: JobData[] = [];
  const wakes = await keepAll(tx, deeds, now);
  for (const deed of deeds) {
    for (const effect of deed.step.effects) {
      if (effect.type === 'text') texts.push(textOf(core, deed, effect, now));
      else if (effect.type === 'start-check-in') {
        const id = await planAsked(tx, deed, effect, now);
        if (id !== null) planned.push({ id, at: now });
      } else await apply(tx, core, deed, effect, now);
    }
  }
  return { sends: await addTexts(tx, texts, now), planned, wakes };
}

/** Keeps the conversations of all steps; returns the timers that stand from now on. */
async function keepAll(tx: Store, deeds: readonly Deed[], now: number): Promise<readonly JobData[]> {
  const list = deeds.flatMap(({ guardianId, before, step }) => {
    const { conversation, effects } = step;
    if (conversation === null) return [];
    return [{ guardianId, before, conversation, asked: conversation.asked, wake: wakeOf(effects) }];
  });
  const ids = await keepConversations(tx, list, now);
  return list.flatMap(({ wake }, index) => (wake === null ? [] : [{ id: ids[index] ?? '', at: wake.at }]));
}

/** The earliest timer of a step; it has one at most, unless an edited check-in asks for more. */
function wakeOf(effects: readonly Effect[]): Wake | null {
  const wakes = effects.flatMap((effect) =>
    effect.type === 'wake-at' ? [{ at: effect.at, reason: effect.reason }] : [],
  );
  return wakes.sort((a, b) => a.at - b.at)[0] ?? null;
}

function textOf(core: Core, deed: Deed, effect: Effect & { type: 'text' }, now: number): NewText {
  const { body, language } = core.fillWording({
    wording: effect.wording,
    values: effect.values,
    language: effect.language ?? deed.who.facts.guardian.language,
    ...(effect.templates === undefined ? {} : { templates: effect.templates }),
  });
  return {
    key: effect.key,
    clinicId: deed.who.clinic.id,
    guardianId: deed.guardianId,
    childId: effect.childId,
    to: deed.who.number,
    kind: effect.kind,
    lane: effect.lane,
    promised: effect.promised,
    language,
    body,
    wording: { key: effect.wording, values: effect.values },
    plannedTextId: deed.plannedTextId,
    ignoresHours: effect.ignoresHours,
    notBefore: effect.notBefore ?? now + (isBehindSafety(deed, effect) ? BEHIND_SAFETY_MS : 0),
    expiresAt: effect.expires,
  };
}

/** Networks keep no order: what comes with a safety text waits, so that it is not read before it. */
const BEHIND_SAFETY_MS = 20_000;

function isBehindSafety({ step }: Deed, effect: Effect & { type: 'text' }): boolean {
  return (
    effect.lane !== 'safety' && step.effects.some((other) => other.type === 'text' && other.lane === 'safety')
  );
}

function planAsked(tx: Store, deed: Deed, effect: Effect & { type: 'start-check-in' }, now: number) {
  return planText(tx, {
    clinicId: deed.who.clinic.id,
    childId: effect.childId,
    guardianId: deed.guardianId,
    kind: effect.checkIn,
    forWhat: `asked-${deed.textInId ?? deed.before?.id ?? 'timer'}-${now}`,
    dueAt: now,
    expiresAt: now + ASKED_FOR_KEEPS_MS,
  });
}

async function apply(
  tx: Store,
  core: Core,
  deed: Deed,
  effect: Exclude<Effect, { type: 'text' | 'start-check-in' }>,
  now: number,
): Promise<void> {
  const { who, guardianId, textInId } = deed;
  switch (effect.type) {
    case 'raise-flag': {
      const dueAt = core.dueAt(now, effect.flag, who.clinic);
      await raise(tx, { about: aboutOf(deed, effect.childId), flag: effect.flag, dueAt, textInId }, now);
      return;
    }
    case 'add-to-flag':
      await addWords(tx, aboutOf(deed, effect.childId), effect.matter, effect.note, textInId, now);
      return;
    case 'wake-at':
      return;
    case 'stop-texts':
      if (effect.scope === 'number') await stopNumber(tx, who.number, effect.why, now);
      else if (effect.childId !== null) await stopChild(tx, effect.childId, effect.why, now);
      return;
    case 'resume-texts':
      await resumeNumber(tx, who.number, now);
      return;
    case 'be-quiet-until':
      await quietNumber(tx, who.number, effect.at, effect.why, now);
      return;
    case 'set-language':
      await setLanguage(tx, guardianId, effect.language, now);
      return;
    case 'record-wear':
      await recordWear(tx, effect, textInId, now);
      return;
    default:
      throw new Error(`Nobody carries out ${JSON.stringify(effect satisfies never)}.`);
  }
}

function aboutOf(deed: Deed, childId: Deed['who']['facts']['children'][number]['id'] | null) {
  return {
    clinicId: deed.who.clinic.id,
    childId,
    guardianId: deed.guardianId,
    number: deed.who.number,
  };
}
