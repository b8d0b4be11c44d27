import type { Affix, LanguagePack } from './lexicon.js';
import { soundKey } from './sounds.js';
import { type Concept, leadsTo } from './trie.js';

/** A piece of a word, by position inside the word. */
export interface Piece {
  readonly from: number;
  readonly to: number;
  readonly word: string;
  readonly symbols: readonly number[];
  /** Concepts an affix carries by itself. */
  readonly adds: readonly Concept[];
}

/** What a word is in one language: dictionary symbols, or several pieces when words are glued or carry an affix. */
export interface Known {
  readonly symbols: readonly number[];
  readonly pieces: readonly Piece[] | null;
}

/** Longer words are looked up as written only. */
const LONGEST_GUESSED = 40;
const MOST_REMEMBERED = 4_000;

function remembered(memory: Map<string, unknown>, word: string, work: () => Known | null): Known | null {
  const known = memory.get(word);
  if (known !== undefined) return known as Known | null;
  const result = work();
  if (memory.size >= MOST_REMEMBERED) memory.clear();
  memory.set(word, result);
  return result;
}

/** Looks a folded word up as written: in the dictionary, by its patterns, with its affixes cut off. */
export function find(pack: LanguagePack, word: string): Known | null {
  return remembered(pack.found, word, () => {
    const symbols = asWritten(pack, word);
    if (word.length > LONGEST_GUESSED || symbols.some((symbol) => saysSomething(pack, symbol)))
      return symbols.length > 0 ? { symbols, pieces: null } : null;
    // Known only as a part of longer phrases: by itself it is what is left without its affixes.
    const cut = isOrdinary(pack, word) ? null : withoutAffixes(pack, word);
    if (symbols.length === 0 || cut?.pieces?.some((piece) => isStated(pack, piece))) return cut;
    return { symbols: [...symbols, ...(cut?.symbols ?? [])], pieces: null };
  });
}

/** Whether a word, or what is left of it without a plain ending, is an ordinary word that means nothing here. */
export function isOrdinary(pack: LanguagePack, word: string): boolean {
  if (pack.common.has(word)) return true;
  if (pack.common.size === 0 || word.length > LONGEST_GUESSED) return false;
  return pack.affixes.some(
    ({ before, after, adds, leaves }) =>
      before.length === 0 &&
      adds.length === 0 &&
      after.some(
        (tail) =>
          word.length - tail.length >= leaves &&
          word.endsWith(tail) &&
          pack.common.has(word.slice(0, word.length - tail.length)),
      ),
  );
}

/** Looks a word up that `find` does not know: by sound, by slips of the thumb, as glued words. */
export function guess(pack: LanguagePack, word: string): Known | null {
  if (word.length < 3 || word.length > LONGEST_GUESSED || isOrdinary(pack, word)) return null;
  return remembered(pack.guessed, word, () => {
    const alike = pack.soundWords().get(soundKey(word, pack.sounds));
    if (alike) return { symbols: alike, pieces: null };
    if (word.length >= 5) {
      const near = pack.typos().near(word, 1);
      if (near.length > 0) return { symbols: near, pieces: null };
    }
    if (word.length >= 6) {
      const pieces = unglue(pack, word);
      if (pieces) return { symbols: [], pieces };
    }
    if (word.length >= 9) {
      const near = pack.typos().near(word, 2);
      if (near.length > 0) return { symbols: near, pieces: null };
    }
    return null;
  });
}

/** Whether what is left of a word is a state or ability by itself. */
function isStated(pack: LanguagePack, { symbols }: Piece): boolean {
  return symbols.some((symbol) =>
    leadsTo(
      pack.root(),
      symbol,
      ({ meaning }) => meaning?.concepts.some(({ kind }) => STATES.includes(kind)) === true,
    ),
  );
}

const STATES: readonly string[] = ['trouble', 'ability', 'well', 'sign'];

/** Whether a word is a phrase by itself. Asked only of languages with affixes, so that others need not lay out their phrases. */
function saysSomething(pack: LanguagePack, symbol: number): boolean {
  if (pack.affixes.length === 0) return true;
  return leadsTo(pack.root(), symbol, ({ meaning }) => meaning !== null);
}

function asWritten(pack: LanguagePack, word: string): number[] {
  const symbols: number[] = [];
  const exact = pack.words.get(word);
  if (exact !== undefined) symbols.push(exact);
  if (word.length > LONGEST_GUESSED) return symbols;
  for (let length = word.length; length >= 1; length -= 1)
    for (const pattern of pack.byHead.get(word.slice(0, length)) ?? [])
      if (word.length >= length + pattern.tail.length && word.endsWith(pattern.tail))
        symbols.push(pattern.symbol);
  for (let from = 0; from < word.length; from += 1)
    for (const pattern of pack.byTail.get(word.slice(from)) ?? []) symbols.push(pattern.symbol);
  for (const pattern of pack.byInner) if (word.includes(pattern.inner)) symbols.push(pattern.symbol);
  return symbols;
}

function withoutAffixes(pack: LanguagePack, word: string): Known | null {
  for (const affix of pack.affixes) {
    const stem = stemOf(pack, affix, word);
    if (stem === null) continue;
    if (affix.adds.length === 0) return { symbols: stem.symbols, pieces: null };
    const carrier = { from: 0, to: Math.max(stem.from, 1), word: '', symbols: [], adds: affix.adds };
    return {
      symbols: [],
      pieces: [
        carrier,
        { from: stem.from, to: word.length, word: stem.word, symbols: stem.symbols, adds: [] },
      ],
    };
  }
  return null;
}

function stemOf(
  pack: LanguagePack,
  affix: Affix,
  word: string,
): { from: number; word: string; symbols: number[] } | null {
  const heads = affix.before.length > 0 ? affix.before : [''];
  const tails = affix.after.length > 0 ? affix.after : [''];
  for (const head of heads) {
    if (!word.startsWith(head)) continue;
    for (const tail of tails) {
      if (!word.endsWith(tail) || word.length - head.length - tail.length < affix.leaves) continue;
      const stem = word.slice(head.length, word.length - tail.length);
      const symbols = asWritten(pack, stem);
      if (symbols.length > 0) return { from: head.length, word: stem, symbols };
    }
  }
  return null;
}

/** Cuts a word without spaces into dictionary words: fewest pieces, short pieces dear. */
function unglue(pack: LanguagePack, word: string): Piece[] | null {
  const cost: number[] = [0];
  const cutAt: number[] = [0];
  for (let to = 1; to <= word.length; to += 1) {
    let best = Number.POSITIVE_INFINITY;
    let bestFrom = -1;
    for (let from = Math.max(0, to - 20); from < to; from += 1) {
      const before = cost[from] ?? Number.POSITIVE_INFINITY;
      if (before === Number.POSITIVE_INFINITY || !pack.words.has(word.slice(from, to))) continue;
      const length = to - from;
      const price = before + (length === 1 ? 4 : length === 2 ? 2.4 : length === 3 ? 1.8 : 1);
      if (price < best) {
        best = price;
        bestFrom = from;
      }
    }
    cost.push(best);
    cutAt.push(bestFrom);
  }
  const total = cost[word.length] ?? Number.POSITIVE_INFINITY;
  if (total > 1.2 + word.length * 0.42) return null;
  const pieces: Piece[] = [];
  for (let to = word.length; to > 0; to = cutAt[to] ?? 0) {
    const from = cutAt[to] ?? 0;
    const part = word.slice(from, to);
    const symbol = pack.words.get(part);
    pieces.unshift({ from, to, word: part, symbols: symbol === undefined ? [] : [symbol], adds: [] });
  }
  return pieces.some((piece) => piece.to - piece.from >= 4) ? pieces : null;
}
