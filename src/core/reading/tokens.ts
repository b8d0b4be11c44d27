import type { Folded } from './normalise.js';

export type TokenKind = 'word' | 'number' | 'stop' | 'comma' | 'question' | 'emoji';

/** One piece of a folded text. `from`/`to` are positions in the folded text, `to` exclusive. */
export interface Token {
  readonly kind: TokenKind;
  readonly word: string;
  readonly from: number;
  readonly to: number;
  /** For numbers: the value; a clock or decimal is kept as hours with a fraction. */
  readonly value: number;
  /** For numbers: how it was written. */
  readonly shape: 'plain' | 'clock' | 'decimal' | 'date' | 'long' | 'none';
  /** Nothing stood between this and the token before it ("22h"). */
  readonly glued: boolean;
}

/** Texts longer than this many pieces are read to here; the rest counts as not understood. */
export const MOST_TOKENS = 4_000;

const SHORT_ELISION = /^(?:[ldjnscmt]|qu)$/;
const JOINED_TAIL = /^(?:s|t|m)$/;
const PARTED_TAIL = /^(?:ll|re|ve|d)$/;

/**
 * Where an apostrophe cuts: "l'odeur" and "we'll" are two words ("well" would be another), "don't" and "ng'aa" are one
 * without it.
 */
export function isParted(head: string, tail: string): boolean {
  return PARTED_TAIL.test(tail) || (SHORT_ELISION.test(head) && !JOINED_TAIL.test(tail));
}

function isDigit(unit: number): boolean {
  return unit >= 48 && unit <= 57;
}

function isLetter(unit: number): boolean {
  if (unit >= 97 && unit <= 122) return true;
  if (unit < 0xaa) return false;
  // Symbols, arrows, punctuation, private use and emoji are not letters; everything else from Latin-1 up is.
  if (unit >= 0x2000 && unit <= 0x2bff) return false;
  if (unit >= 0x3000 && unit <= 0x303f) return false;
  if (unit >= 0xd800 && unit <= 0xf8ff) return false;
  if (unit >= 0xfe00 && unit <= 0xfe6f) return false;
  return unit !== 0xd7 && unit !== 0xf7 && unit !== 0xb0 && unit !== 0xbf && unit !== 0xa1 && unit > 0xa9;
}

const STOPS = new Set(['.', '!', ';', '\n', '\r']);
const COMMAS = new Set([',', '(', ')', ':', '"', '/', '|', '*']);

/** Whether `word` is known to some language; decides how digits glued to letters are cut. */
export type IsKnown = (word: string) => boolean;

/** Cuts a folded text into words, numbers, emoji and marks. Linear in the text's length. */
export function tokenise(folded: Folded, isKnown: IsKnown): Token[] {
  const { text } = folded;
  const tokens: Token[] = [];
  let at = 0;
  let lastEnd = -1;
  const push = (
    kind: TokenKind,
    word: string,
    from: number,
    to: number,
    value = 0,
    shape: Token['shape'] = 'none',
  ) => {
    tokens.push({ kind, word, from, to, value, shape, glued: from === lastEnd });
    lastEnd = to;
  };
  while (at < text.length && tokens.length < MOST_TOKENS) {
    const unit = text.charCodeAt(at);
    if (isLetter(unit) || isDigit(unit)) at = takeRun(text, at, push, isKnown);
    else if (unit >= 0xd800 && unit <= 0xdbff && at + 1 < text.length) {
      push('emoji', text.slice(at, at + 2), at, at + 2);
      at += 2;
    } else {
      takeMark(text, at, push);
      at += 1;
    }
  }
  return tokens;
}

type Push = (
  kind: TokenKind,
  word: string,
  from: number,
  to: number,
  value?: number,
  shape?: Token['shape'],
) => void;

function takeMark(text: string, at: number, push: Push): void {
  const mark = text[at] ?? ' ';
  if (STOPS.has(mark)) push('stop', mark, at, at + 1);
  else if (mark === '?') push('question', mark, at, at + 1);
  else if (COMMAS.has(mark)) push('comma', mark, at, at + 1);
  else if (mark === '&' || mark === '+' || mark === '@' || mark === '°' || mark === '$' || mark === '%')
    push('word', mark, at, at + 1);
  else if (mark === '-') {
    const isSpaced = text[at - 1] === ' ' && text[at + 1] === ' ';
    const isRange = isDigit(text.charCodeAt(at - 1)) || isDigit(text.charCodeAt(at + 1));
    if (isRange || isSpaced) push(isRange || numbersAround(text, at) ? 'word' : 'comma', '-', at, at + 1);
  } else if (mark > '\u2000' && mark < '\u3000') push('emoji', mark, at, at + 1);
}

function numbersAround(text: string, at: number): boolean {
  return isDigit(text.charCodeAt(at - 2)) || isDigit(text.charCodeAt(at + 2));
}

/** A run of letters, digits and apostrophes that starts at `from`; returns where it ends. */
function takeRun(text: string, from: number, push: Push, isKnown: IsKnown): number {
  if (isDigit(text.charCodeAt(from))) {
    const afterLetters = endOf(text, from, true);
    const run = text.slice(from, afterLetters);
    const digits = endOfDigits(text, from);
    if (digits < afterLetters && digits - from <= 2 && isWordWithDigits(run, digits - from, isKnown)) {
      push('word', run, from, afterLetters);
      return afterLetters;
    }
    return takeNumber(text, from, push);
  }
  let end = endOf(text, from, true);
  let run = text.slice(from, end);
  let tail = run.length;
  while (tail > 0 && isDigit(run.charCodeAt(tail - 1))) tail -= 1;
  if (tail < run.length && !isKnown(run)) {
    const head = run.slice(0, tail);
    if (run.length - tail >= 2 || isKnown(head)) {
      end = from + tail;
      run = head;
    }
  }
  if (text[end] === "'" && end + 1 < text.length && isLetter(text.charCodeAt(end + 1))) {
    const rest = text.slice(end + 1, endOf(text, end + 1, true));
    if (isParted(run, rest)) {
      push('word', run, from, end);
      return end + 1;
    }
    const to = end + 1 + rest.length;
    push('word', run + rest, from, to);
    return to;
  }
  push('word', run, from, end);
  return end;
}

/** "3and", "7iydo", "2morrow": a digit that stands for a letter, unless what follows it is a word ("9hours"). */
function isWordWithDigits(run: string, digits: number, isKnown: IsKnown): boolean {
  if (isKnown(run)) return true;
  const rest = run.slice(digits);
  return digits === 1 && rest.length >= 3 && !/[0-9]/.test(rest) && !isKnown(rest);
}

function endOf(text: string, from: number, withDigits: boolean): number {
  let at = from;
  while (at < text.length) {
    const unit = text.charCodeAt(at);
    if (!isLetter(unit) && !(withDigits && isDigit(unit))) break;
    at += 1;
  }
  return at;
}

function endOfDigits(text: string, from: number): number {
  let at = from;
  while (at < text.length && isDigit(text.charCodeAt(at))) at += 1;
  return at;
}

/** A number as written: 22, 9.5, 9,5, 7:30, 7h30, 12/3, 24/7. A unit glued behind it becomes its own token. */
function takeNumber(text: string, from: number, push: Push): number {
  const whole = endOfDigits(text, from);
  const digits = text.slice(from, whole);
  const joint = text[whole] ?? '';
  const nextEnd = endOfDigits(text, whole + 1);
  const fraction = text.slice(whole + 1, nextEnd);
  if (digits.length > 4) push('number', digits, from, whole, Number.NaN, 'long');
  else if (
    fraction.length > 0 &&
    (joint === ':' || joint === 'h') &&
    fraction.length === 2 &&
    Number(digits) <= 24
  ) {
    push('number', text.slice(from, nextEnd), from, nextEnd, Number(digits) + Number(fraction) / 60, 'clock');
    return nextEnd;
  } else if (fraction.length > 0 && joint === '/') {
    const end = text[nextEnd] === '/' ? endOfDigits(text, nextEnd + 1) : nextEnd;
    const isAlways = digits === '24' && fraction === '7';
    const isHalf = digits === '1' && fraction === '2';
    push(
      'number',
      text.slice(from, end),
      from,
      end,
      isAlways ? 24 : isHalf ? 0.5 : Number.NaN,
      isAlways || isHalf ? 'plain' : 'date',
    );
    return end;
  } else if (fraction.length > 0 && (joint === '.' || joint === ',')) {
    if (text[nextEnd] === joint && isDigit(text.charCodeAt(nextEnd + 1))) {
      const end = endOfDigits(text, nextEnd + 1);
      push('number', text.slice(from, end), from, end, Number.NaN, 'date');
      return end;
    }
    const value = fraction.length === 3 ? Number(digits + fraction) : Number(`${digits}.${fraction}`);
    push('number', text.slice(from, nextEnd), from, nextEnd, value, 'decimal');
    return nextEnd;
  } else push('number', digits, from, whole, Number(digits), 'plain');
  return whole;
}
