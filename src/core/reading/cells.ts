import type { CompiledLanguages } from './compile.js';
import type { LanguagePack } from './lexicon.js';
import { find, guess, isOrdinary, type Known } from './lookup.js';
import type { Token } from './tokens.js';
import type { Concept } from './trie.js';

/** A word, number or mark of the text made ready: which language knows it, and as what. */
export interface Cell {
  readonly token: Token;
  readonly word: string;
  readonly from: number;
  readonly to: number;
  readonly pack: LanguagePack | null;
  readonly symbols: readonly number[];
  /** Concepts an affix carries by itself. */
  readonly adds: readonly Concept[];
}

interface Found {
  readonly pack: LanguagePack;
  readonly known: Known;
}

/** Unknown words beyond this many in one text are not guessed at: bounds the time of any text. */
export const MOST_GUESSES = 80;
/** An ordinary word of the language that means nothing here. */
const ORDINARY: Known = { symbols: [], pieces: null };
const NONE: readonly never[] = [];

/** The language of a text: the one that knows most of its words; the family's own has a head start. */
export function mainLanguage(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  hint: string | undefined,
): LanguagePack {
  const { packs } = compiled;
  const scores = new Float64Array(packs.length);
  const hintPack = packs.find((pack) => pack.code === hint);
  if (hintPack) scores[hintPack.index] = 1.5;
  const english = packs.find((pack) => pack.code === 'en');
  if (english) scores[english.index] = (scores[english.index] ?? 0) + 0.1;
  let looked = 0;
  for (const token of tokens) {
    if (token.kind !== 'word') continue;
    const mask = compiled.known.get(token.word) ?? 0;
    if (mask !== 0) addShares(scores, mask);
    else if (hintPack && looked < MOST_GUESSES) {
      looked += 1;
      if (find(hintPack, token.word)) scores[hintPack.index] = (scores[hintPack.index] ?? 0) + 0.7;
    }
  }
  let best = 0;
  for (let index = 1; index < scores.length; index += 1)
    if ((scores[index] ?? 0) > (scores[best] ?? 0)) best = index;
  const pack = packs[best];
  if (!pack) throw new RangeError('no language is loaded: flows/languages has none that can be read');
  return pack;
}

/** A word counts for every language that has it; the fewer have it, the more. */
function addShares(scores: Float64Array, mask: number): void {
  let sharers = 0;
  for (let bits = mask; bits !== 0; bits &= bits - 1) sharers += 1;
  const weight = sharers === 1 ? 1.5 : 1 / sharers;
  for (let bits = mask; bits !== 0; bits &= bits - 1) {
    const index = 31 - Math.clz32(bits & -bits);
    scores[index] = (scores[index] ?? 0) + weight;
  }
}

/** The languages a word is looked up in: the text's, the family's, English. */
export function lookupOrder(
  compiled: CompiledLanguages,
  main: LanguagePack,
  hint: string | undefined,
): LanguagePack[] {
  const order = [main];
  for (const code of [hint, 'en']) {
    const pack = compiled.packs.find((one) => one.code === code);
    if (pack && !order.includes(pack)) order.push(pack);
  }
  return order;
}

/** Looks every word up; words with affixes that carry a meaning, and glued words, become several cells. */
export function cellsOf(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  order: readonly LanguagePack[],
): Cell[] {
  const cells: Cell[] = [];
  const others = otherLanguages(compiled, tokens, order);
  let guesses = 0;
  for (const token of tokens) {
    const { word, from, to } = token;
    if (token.kind !== 'word') {
      cells.push({ token, word, from, to, pack: null, symbols: NONE, adds: NONE });
      continue;
    }
    let found = findIn(order, word) ?? (word.length >= SHORTEST_FOREIGN ? findIn(others, word) : null);
    if (!found && guesses < MOST_GUESSES) {
      guesses += 1;
      found = guessIn(order, word);
    }
    if (found?.known.pieces) cells.push(...pieceCells(token, found));
    else {
      const symbols = found?.known.symbols ?? NONE;
      cells.push({ token, word, from, to, pack: found?.pack ?? null, symbols, adds: NONE });
    }
  }
  return cells;
}

/** A shorter word of a third language is more often a name or a slip. */
const SHORTEST_FOREIGN = 4;

/**
 * Languages beside the text's, the family's and English that some words may be read in: those of which two words that
 * no other knows stand in the text, or one in a text of hardly more. So "sang" is no blood in an English sentence.
 */
function otherLanguages(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  order: readonly LanguagePack[],
): LanguagePack[] {
  const counts = new Map<LanguagePack, number>();
  let words = 0;
  for (const { kind, word } of tokens) {
    if (kind !== 'word') continue;
    words += 1;
    const mask = compiled.known.get(word) ?? 0;
    if (
      mask === 0 ||
      word.length < SHORTEST_FOREIGN ||
      order.some((pack) => (mask & (1 << pack.index)) !== 0)
    )
      continue;
    for (const pack of compiled.packs)
      if ((mask & (1 << pack.index)) !== 0 && pack.words.has(word))
        counts.set(pack, (counts.get(pack) ?? 0) + 1);
  }
  const needed = words <= 3 ? 1 : 2;
  return [...counts].filter(([, count]) => count >= needed).map(([pack]) => pack);
}

function pieceCells(token: Token, { pack, known }: Found): Cell[] {
  return (known.pieces ?? []).map((piece) => ({
    token,
    word: piece.word,
    from: token.from + Math.min(piece.from, token.to - token.from - 1),
    to: Math.min(token.from + piece.to, token.to),
    pack,
    symbols: piece.symbols,
    adds: piece.adds,
  }));
}

function findIn(packs: readonly LanguagePack[], word: string): Found | null {
  for (const pack of packs) {
    const known = find(pack, word);
    if (known) return { pack, known };
    if (isOrdinary(pack, word)) return { pack, known: ORDINARY };
  }
  return null;
}

function guessIn(packs: readonly LanguagePack[], word: string): Found | null {
  for (const pack of packs) {
    const known = guess(pack, word);
    if (known) return { pack, known };
  }
  return null;
}
