import type { ChildLine } from '../../store/views/types.js';
import { age, daysBetween } from '../times.js';
import type { Words } from '../wording.js';

/** Which feet: "left foot", "both feet". */
export function feetWords(feet: readonly string[], words: Words): string {
  if (feet.length > 1) return words.say('feet.both');
  return words.say(feet[0] === 'right' ? 'feet.right' : 'feet.left');
}

/** Phase and the day within it: "In cast, day 3", "Full-time brace, day 12". Day 0 is the day it began. */
export function phaseWords(child: ChildLine, today: string, words: Words): string {
  const phase = words.say(`phase.${child.phase}`);
  const since = phaseDay(child);
  if (since === null) return phase;
  return words.say('phase.with-day', { phase, day: Math.max(0, daysBetween(since, today)) });
}

function phaseDay(child: ChildLine): string | null {
  switch (child.phase) {
    case 'cast':
      return child.lastCast;
    case 'tenotomy':
      return child.tenotomy ?? child.lastCast;
    case 'brace-day':
    case 'brace-night':
      return child.braceFrom;
    default:
      return null;
  }
}

/** Age, phase with its day, and feet, in one line. */
export function childSummary(child: ChildLine, today: string, words: Words): string {
  return [age(child.born, today, words), phaseWords(child, today, words), feetWords(child.feet, words)].join(
    ' · ',
  );
}

/** The end of a number, enough to tell two apart on a screen others can see: "…0142". */
export function halfHidden(number: string): string {
  return `…${number.slice(-4)}`;
}
