import type { Matched } from './match.js';

/** A text that says nothing worrying but leaves more than this share of its words unread goes to a person. */
const MOST_UNREAD_SHARE = 0.7;
/** ... once it has at least this many unread words; shorter leftovers are names and courtesy. */
const FEWEST_UNREAD = 5;

/**
 * How much of a text was understood, 0..1, and whether a person must read it for that. The one place that decides:
 * half of the value is whether anything was concluded at all, half is the share of its meaningful words (not little
 * words) that the vocabulary covers. A person reads it when nothing was concluded, when a bad state was found that
 * could not be placed, or when an all-fine conclusion rests on a small part of a longer text.
 */
export function understoodOf(
  matched: Matched,
  facts: {
    readonly concluded: boolean;
    readonly isGreeting: boolean;
    readonly isBenign: boolean;
    readonly unclear: number;
  },
): { understood: number; needsPerson: boolean } {
  const { meaningful, recognised } = matched;
  const share = meaningful === 0 ? (facts.concluded ? 1 : 0) : recognised / meaningful;
  const unread = meaningful - recognised;
  const isThin = unread >= FEWEST_UNREAD && 1 - share > MOST_UNREAD_SHARE;
  const needsPerson = facts.isBenign && (!facts.concluded || isThin);
  const understood =
    (facts.concluded ? 0.5 : 0) + 0.5 * share * (facts.unclear > 0 && !facts.concluded ? 0.5 : 1);
  return { understood: Math.round(understood * 1000) / 1000, needsPerson };
}
