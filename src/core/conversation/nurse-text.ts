import type { FlagOutcome } from '../model/flag.js';

/** What a nurse on call asked for by text. `name` is the short name of an open matter ("K7"); null: not said. */
export type NurseWish =
  | { readonly kind: 'list' }
  | { readonly kind: 'help' }
  | { readonly kind: 'take'; readonly name: string | null }
  | { readonly kind: 'ask' | 'say'; readonly name: string | null; readonly words: string }
  | {
      readonly kind: 'close';
      readonly name: string | null;
      readonly outcome: FlagOutcome | null;
      /** The code of the day, if one was added. */
      readonly code: string | null;
      readonly note: string;
    }
  | { readonly kind: 'unclear' };

/** The words of the four deeds; the first letter is enough. */
const DEEDS = {
  take: 'take',
  t: 'take',
  ask: 'ask',
  a: 'ask',
  say: 'say',
  s: 'say',
  close: 'close',
  c: 'close',
} as const;

/** How a closing is said in one word. */
export const OUTCOME_WORDS: Readonly<Record<string, FlagOutcome>> = {
  reached: 'family-reached',
  seen: 'seen-at-clinic',
  sent: 'sent-to-emergency',
  hospital: 'sent-to-emergency',
  visit: 'visit-arranged',
  brace: 'brace-arranged',
  advice: 'advice-given',
  none: 'no-action-needed',
  noanswer: 'not-reached',
  misread: 'wrongly-read',
};

const NAME = /^[A-Z][2-9]$/;
const CODE = /^\d{4}$/;

/**
 * Reads a nurse's text: TAKE K7, ASK K7 are the toes pink now, SAY K7 please come at nine, CLOSE K7 reached 4711,
 * LIST, HELP. Letter case, punctuation and order of name and outcome do not matter; the first letter of a deed is
 * enough. Anything else is `unclear`, which is answered with help, never guessed at. Pure.
 */
export function readNurseText(text: string): NurseWish {
  const words = text
    .normalize('NFKC')
    .trim()
    .split(/[\s,:;]+/u)
    .filter((word) => word !== '');
  const [first = '', ...rest] = words;
  const deed = first.toLowerCase().replace(/[.!?]+$/, '');
  if (deed === 'list' || deed === 'l') return { kind: 'list' };
  if (deed === 'help' || deed === 'h') return { kind: 'help' };
  const kind = deed in DEEDS ? DEEDS[deed as keyof typeof DEEDS] : null;
  if (kind === null) return { kind: 'unclear' };
  const [name, others] = nameIn(rest);
  if (kind === 'take') return { kind, name };
  if (kind === 'close') return closing(name, others);
  const said = others.join(' ');
  return said === '' ? { kind: 'unclear' } : { kind, name, words: said };
}

/** The short name must be the first word after the deed, so that words to a family are never taken for one. */
function nameIn(words: readonly string[]): [string | null, readonly string[]] {
  const [first, ...rest] = words;
  const name = first?.toUpperCase().replace(/[.!?]+$/, '') ?? '';
  return NAME.test(name) ? [name, rest] : [null, words];
}

function closing(name: string | null, words: readonly string[]): NurseWish {
  let outcome: FlagOutcome | null = null;
  let code: string | null = null;
  const note: string[] = [];
  for (const word of words) {
    const bare = word.toLowerCase().replace(/[^a-z0-9]/g, '');
    const known = OUTCOME_WORDS[bare];
    if (CODE.test(bare) && code === null) code = bare;
    else if (known && outcome === null) outcome = known;
    else note.push(word);
  }
  return { kind: 'close', name, outcome, code, note: note.join(' ') };
}

const LETTERS = 'ABCDEFGHJKLMNPRTUVWXY';
const DIGITS = '23456789';

/**
 * The short name of an open matter by its place among those ever open at once (0, 1, 2 ...): letters and digits that
 * are not mistaken for one another. Comes round after 168. Pure.
 */
export function shortName(place: number): string {
  const letter = LETTERS[Math.floor(place / DIGITS.length) % LETTERS.length] ?? 'A';
  return `${letter}${DIGITS[place % DIGITS.length] ?? '2'}`;
}
