import { DateTime } from 'luxon';
import type { ChildFacts } from '../../core/model/family.js';
import type { ChildId } from '../../core/model/ids.js';
import type { ReadingPhase } from '../../core/model/signs.js';
import type { CheckIn } from '../../core/model/texts.js';
import type { Chance } from './chance.js';

/** Shares of the phases in a clinic that takes in evenly: about 5 weeks, 3 weeks, 3 months and 4 years. */
const PHASES: readonly { readonly phase: ReadingPhase; readonly share: number; readonly days: number }[] = [
  { phase: 'cast', share: 0.022, days: 35 },
  { phase: 'tenotomy', share: 0.014, days: 21 },
  { phase: 'brace-day', share: 0.058, days: 91 },
  { phase: 'brace-night', share: 0.906, days: 1400 },
];

/** What a family writes of its own accord: how often a day, and in which words. */
export interface Trouble {
  readonly aDay: number;
  readonly words: readonly string[];
}

/**
 * Troubles a child and day. Rates are assumed, no source, but for the order of size: 3.1 % of casts of complex feet
 * slip (Indian J Orthop 2023, s43465-023-00910-w), serious bleeding after 2 % of tenotomies (Dobbs MB et al.
 * J Pediatr Orthop 2004;24(4):353-357), skin trouble in 19 % of children in rigid braces (J Child Orthop
 * 2009;3:271-276), a gap for a broken or outgrown brace in 16.7 % (Memon I et al. J Pak Med Assoc, Dec 2014 suppl.).
 */
const IN_CAST: readonly Trouble[] = [
  { aDay: 0.003, words: ['toes are blue and cold', 'her toes are swollen'] },
  { aDay: 0.004, words: ['the cast is slipping down', 'i cannot see the toes anymore'] },
  { aDay: 0.008, words: ['the cast got wet', 'plaster is cracked near the knee'] },
  { aDay: 0.006, words: ['she is crying all night', 'he is in pain'] },
  { aDay: 0.005, words: ['skin is red where the cast ends'] },
  { aDay: 0.002, words: ['bad smell from the cast'] },
  { aDay: 0.004, words: ['he has fever since last night'] },
  { aDay: 0.0005, words: ['she is limp and will not feed'] },
  { aDay: 0.01, words: ['can we bathe him?', 'please call me'] },
  { aDay: 0.007, words: ['we cannot come on tuesday', 'no money for the bus'] },
  { aDay: 0.004, words: ['xkq wpl zzt', 'hmm ok so'] },
];
const AFTER_TENOTOMY: readonly Trouble[] = [
  ...IN_CAST,
  { aDay: 0.004, words: ['small dry blood spot at the heel'] },
  { aDay: 0.001, words: ['blood is running from the cast'] },
];
const FULL_TIME: readonly Trouble[] = [
  { aDay: 0.006, words: ['red mark on the heel that stays'] },
  { aDay: 0.003, words: ['blister on her heel'] },
  { aDay: 0.008, words: ['his foot slips out of the boot'] },
  { aDay: 0.008, words: ['she screams and kicks when i put it on'] },
  { aDay: 0.002, words: ['the bar broke', 'boots are too small now'] },
  { aDay: 0.008, words: ['when is the next visit?', 'please call me'] },
  { aDay: 0.003, words: ['xkq wpl zzt'] },
];
const NIGHTS: readonly Trouble[] = FULL_TIME.map(({ aDay, words }) => ({ aDay: aDay / 5, words })).concat([
  { aDay: 0.0002, words: ['he walks on the outside of his foot'] },
  { aDay: 0.001, words: ['we stopped the brace this week'] },
  { aDay: 0.001, words: ['we cannot come to the clinic'] },
]);
export const TROUBLES: Readonly<Record<ReadingPhase, readonly Trouble[]>> = {
  cast: IN_CAST,
  tenotomy: AFTER_TENOTOMY,
  'brace-day': FULL_TIME,
  'brace-night': NIGHTS,
};

export interface Enrolled {
  readonly child: ChildFacts;
  readonly phase: ReadingPhase;
  /** Day in the phase on the first simulated day. */
  readonly day: number;
}

export function enrol(count: number, chance: Chance, today: string): Enrolled[] {
  return Array.from({ length: count }, (_, number) => {
    const { phase, days } = phaseOf(chance.next());
    const day = chance.whole(0, days - 1);
    const ageDays = day + { cast: 20, tenotomy: 55, 'brace-day': 76, 'brace-night': 167 }[phase];
    const born = DateTime.fromISO(today, { zone: 'utc' }).minus({ days: ageDays }).toISODate() ?? today;
    const travelHours = chance.whole(0, 4);
    return { child: childOf(number, phase, born, travelHours), phase, day };
  });
}

function phaseOf(chance: number): (typeof PHASES)[number] {
  let left = chance;
  for (const one of PHASES) {
    if (left < one.share) return one;
    left -= one.share;
  }
  return PHASES[PHASES.length - 1] as (typeof PHASES)[number];
}

function childOf(number: number, phase: ReadingPhase, born: string, travelHours: number): ChildFacts {
  return {
    id: `child-${number}` as ChildId,
    calledInTexts: `Child ${number}`,
    born,
    feet: ['left'],
    phase,
    dayInPhase: 0,
    castDay: null,
    tenotomyDay: null,
    nextVisit: null,
    wearTargetHours: phase === 'brace-day' ? 23 : phase === 'brace-night' ? 12 : null,
    travelHours,
    recentSigns: [],
  };
}

/** The child as it stands on a day of its phase. */
export function onDay(child: ChildFacts, phase: ReadingPhase, day: number): ChildFacts {
  const castDay = phase === 'cast' ? day % 7 : phase === 'tenotomy' ? day : null;
  return { ...child, dayInPhase: day, castDay, tenotomyDay: phase === 'tenotomy' ? day : null };
}

/** The check-in due on a day of a phase, and its hour: casts weekly, brace weekly at first, then monthly. */
export function checkInOn(phase: ReadingPhase, day: number): { checkIn: CheckIn; hour: number } | null {
  if (phase === 'cast' && day % 7 === 0) return { checkIn: 'cast-day', hour: 17 };
  if (phase === 'cast' && day % 7 === 3) return { checkIn: 'cast-mid', hour: 10 };
  if (phase === 'tenotomy') {
    const checkIn = ({ 1: 'tenotomy-day-1', 3: 'tenotomy-day-3', 7: 'tenotomy-day-7' } as const)[day];
    return checkIn === undefined ? null : { checkIn, hour: 10 };
  }
  if (phase === 'brace-day' && day === 0) return { checkIn: 'cast-off-day', hour: 17 };
  if (phase === 'brace-day' && day === 1) return { checkIn: 'brace-night-1', hour: 10 };
  if (phase === 'brace-day' && day % 7 === 0) return { checkIn: 'brace-week', hour: 10 };
  if (phase === 'brace-night' && day % 30 === 0) return { checkIn: 'brace-month', hour: 10 };
  return null;
}
