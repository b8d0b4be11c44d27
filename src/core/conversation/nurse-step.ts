import type { FlagOutcome, FlagState, Matter } from '../model/flag.js';
import type { FlagId, StaffId } from '../model/ids.js';
import type { Urgency } from '../model/signs.js';
import type { NurseWish } from './nurse-text.js';

/** An open matter as a nurse on call knows it. */
export interface NurseFlag {
  readonly id: FlagId;
  readonly name: string;
  readonly matter: Matter;
  readonly urgency: Urgency;
  readonly state: FlagState;
  readonly takenBy: StaffId | null;
  /** What the child is called in texts. */
  readonly child: string;
  /** The family's own words, the newest; told to her only once she has taken it. */
  readonly words: string;
}

/** What is to be done for her; each is done as on the page, and stands in the audit. */
export type NurseEffect =
  | { readonly type: 'take-flag'; readonly flagId: FlagId }
  | {
      /** Her words go out through the clinic's number; the family never sees hers. */
      readonly type: 'text-family';
      readonly flagId: FlagId;
      readonly words: string;
      /** The family's next text belongs to this matter. */
      readonly expectsAnswer: boolean;
    }
  | {
      readonly type: 'close-flag';
      readonly flagId: FlagId;
      readonly outcome: FlagOutcome;
      readonly note: string;
    };

export interface NurseStep {
  readonly effects: readonly NurseEffect[];
  /** Key of messages.yaml and its values: what she is told. */
  readonly reply: { readonly wording: string; readonly values: Readonly<Record<string, string>> };
}

/** Two parts of an ordinary text; a longer answer is for a call. */
export const LONGEST_WORDS = 280;

/**
 * What follows from a nurse's text. Only a registered number may get here (the shell sees to it). A matter another
 * nurse has taken stays hers; closing a `now` matter needs the code of the day, closing any needs an outcome. Pure.
 */
export function onNurseText(
  wish: NurseWish,
  facts: { readonly staffId: StaffId; readonly open: readonly NurseFlag[]; readonly codeOfTheDay: string },
): NurseStep {
  if (wish.kind === 'list')
    return told('staff-list', { words: listed(facts.open), count: `${facts.open.length}` });
  if (wish.kind === 'help' || wish.kind === 'unclear')
    return told('staff-unclear', { code: anyName(facts.open) });
  const flag = meant(wish.name, facts);
  if (!flag) return told('staff-no-such', { code: wish.name ?? '?', count: `${facts.open.length}` });
  const values = { code: flag.name, child: flag.child, words: shortened(flag.words) };
  if (flag.takenBy !== null && flag.takenBy !== facts.staffId) return told('staff-not-taken', values);
  if (wish.kind === 'take') return { ...told('staff-taken', values), effects: taking(flag) };
  if (wish.kind === 'close') return close(wish, flag, facts.codeOfTheDay);
  if (wish.words.length > LONGEST_WORDS) return told('staff-too-long', values);
  const text = {
    type: 'text-family',
    flagId: flag.id,
    words: wish.words,
    expectsAnswer: wish.kind === 'ask',
  } as const;
  return { ...told('staff-sent', values), effects: [...taking(flag), text] };
}

function close(
  wish: Extract<NurseWish, { kind: 'close' }>,
  flag: NurseFlag,
  codeOfTheDay: string,
): NurseStep {
  const values = { code: flag.name, child: flag.child };
  if (wish.outcome === null) return told('staff-needs-outcome', values);
  if (flag.urgency === 'now' && wish.code !== codeOfTheDay) return told('staff-needs-code', values);
  const { outcome, note } = wish;
  const closing = { type: 'close-flag', flagId: flag.id, outcome, note } as const;
  return { ...told('staff-closed', values), effects: [...taking(flag), closing] };
}

function taking(flag: NurseFlag): NurseEffect[] {
  return flag.takenBy === null ? [{ type: 'take-flag', flagId: flag.id }] : [];
}

/** The named matter; without a name, the only open one that could be meant. */
function meant(
  name: string | null,
  { open, staffId }: { open: readonly NurseFlag[]; staffId: StaffId },
): NurseFlag | undefined {
  if (name !== null) return open.find((flag) => flag.name === name);
  const own = open.filter(({ takenBy }) => takenBy === staffId);
  const free = open.filter(({ takenBy }) => takenBy === null);
  const candidates = own.length > 0 ? own : free;
  return candidates.length === 1 ? candidates[0] : undefined;
}

function told(wording: string, values: Readonly<Record<string, string>>): NurseStep {
  return { effects: [], reply: { wording, values } };
}

function listed(open: readonly NurseFlag[]): string {
  return open
    .slice(0, 6)
    .map(
      ({ name, urgency, matter, takenBy }) =>
        `${name} ${urgency} ${matter}${takenBy === null ? '' : ' (taken)'}`,
    )
    .join(', ');
}

function shortened(words: string): string {
  return words.length > LONGEST_QUOTE ? `${words.slice(0, LONGEST_QUOTE - 3)}...` : words;
}

/** So much of the family's text is told again; the page shows all of it. */
const LONGEST_QUOTE = 120;

function anyName(open: readonly NurseFlag[]): string {
  return open[0]?.name ?? 'K7';
}
