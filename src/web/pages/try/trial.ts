import type { Effect } from '../../../core/model/effects.js';
import type { ClinicFacts, StepFacts } from '../../../core/model/family.js';
import type { ChildId, ClinicId, GuardianId } from '../../../core/model/ids.js';
import type { Reading } from '../../../core/model/reading.js';
import type { Asked, ReadingPhase } from '../../../core/model/signs.js';
import type { WebCore } from '../../deps.js';
import { localDate } from '../../times.js';

export interface TrialAsk {
  readonly text: string;
  readonly language: string;
  readonly phase: ReadingPhase;
  readonly asked: Asked;
  readonly clinic: Omit<ClinicFacts, 'id'>;
  readonly now: number;
}

export interface Tried {
  readonly text: string;
  readonly reading: Reading;
  readonly effects: readonly Effect[];
  /** The texts that would go out, in the family's language, in order. */
  readonly texts: readonly string[];
}

const DAY_MS = 86_400_000;

/**
 * What a text would be read as and what would follow, for an invented child of the age usual in that phase, a few
 * days into it. Pure but for the core it is given.
 */
export function tryText(core: WebCore, ask: TrialAsk): Tried {
  const reading = core.readText({
    text: ask.text,
    lang: ask.language,
    phase: ask.phase,
    asked: ask.asked,
  });
  const { effects } = core.onText({
    conversation: null,
    text: ask.text,
    reading,
    facts: inventedFacts(ask),
    now: ask.now,
  });
  const texts = effects.flatMap((effect) =>
    effect.type === 'text'
      ? [core.fillWording({ wording: effect.wording, values: effect.values, language: ask.language }).body]
      : [],
  );
  return { text: ask.text, reading, effects, texts };
}

const AGE_DAYS: Readonly<Record<ReadingPhase, number>> = {
  cast: 40,
  tenotomy: 70,
  'brace-day': 120,
  'brace-night': 500,
};

function inventedFacts(ask: TrialAsk): StepFacts {
  const isCast = ask.phase === 'cast' || ask.phase === 'tenotomy';
  return {
    clinic: { ...ask.clinic, id: 'trial' as ClinicId },
    guardian: {
      id: 'trial' as GuardianId,
      language: ask.language,
      reads: true,
      isStopped: false,
      quietUntil: null,
    },
    children: [
      {
        id: 'trial' as ChildId,
        calledInTexts: 'N.',
        born: localDate(ask.now - AGE_DAYS[ask.phase] * DAY_MS, ask.clinic.timeZone),
        feet: ['left'],
        phase: ask.phase,
        dayInPhase: 3,
        castDay: isCast ? 3 : null,
        tenotomyDay: ask.phase === 'tenotomy' ? 3 : null,
        nextVisit: null,
        wearTargetHours: ask.phase === 'brace-day' ? 23 : ask.phase === 'brace-night' ? 12 : null,
        travelHours: null,
        recentSigns: [],
      },
    ],
    openMatters: [],
    asked: ask.asked,
  };
}
