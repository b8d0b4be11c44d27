import type { ChildFacts } from '../model/family.js';
import type { Reading } from '../model/reading.js';
import type { ReadingPhase, Sign } from '../model/signs.js';

const CAST_PHASES: readonly ReadingPhase[] = ['cast', 'tenotomy'];
const BRACE_PHASES: readonly ReadingPhase[] = ['brace-day', 'brace-night'];

/** Which of a guardian's children a text may be about; one: it is settled. */
export function childrenMeant(
  children: readonly ChildFacts[],
  reading: Reading,
  text: string,
  askedAbout: ChildFacts | null,
): readonly ChildFacts[] {
  if (children.length <= 1) return children;
  const named = children.filter(({ calledInTexts }) => isNamed(calledInTexts, text));
  if (named.length === 1) return named;
  if (askedAbout) return [askedAbout];
  const fitting = children.filter(({ phase }) => fitsPhase(reading, phase));
  return fitting.length > 0 ? fitting : children;
}

/**
 * Whether a text names a child by the name used in texts. A single letter counts only alone or before a mark
 * ("B: ...", "B's toes"), since "a" is also a word.
 */
export function isNamed(calledInTexts: string, text: string): boolean {
  const name = plain(calledInTexts).replace(/\.$/, '');
  if (name === '') return false;
  const words = plain(text);
  if ([...name].length === 1) {
    return (
      words.replace(/[.!?\s]/gu, '') === name ||
      new RegExp(`^${quoted(name)}(?:['’]s|\\s*[:,.-])`, 'u').test(words)
    );
  }
  return new RegExp(`(?<![\\p{L}\\p{M}\\p{N}])${quoted(name)}(?![\\p{L}\\p{M}\\p{N}])`, 'u').test(words);
}

function plain(text: string): string {
  return text.normalize('NFKC').toLowerCase().trim();
}

function quoted(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
}

function fitsPhase(reading: Reading, phase: ReadingPhase | null): boolean {
  if (phase === null) return true;
  const isCast = (sign: Sign) => sign.startsWith('cast-') || sign === 'toes-hidden';
  const isBrace = (sign: Sign) => sign.startsWith('brace-') || sign === 'foot-slips-out';
  if (reading.signs.some(isCast)) return CAST_PHASES.includes(phase);
  if (reading.signs.some(isBrace) || reading.hours !== null) return BRACE_PHASES.includes(phase);
  return true;
}
