import type { Direction } from './data.js';
import type { LanguageDigest } from './digest.js';
import { soundKey } from './sounds.js';
import { type Concept, FIRST_LEXEME, layPhrase, type Meaning, newNode, type TrieNode } from './trie.js';
import { type TypoIndex, typoIndex } from './typos.js';

/** A word of the vocabulary with a star: any letters there. */
export interface Pattern {
  readonly symbol: number;
  readonly head: string;
  readonly tail: string;
  readonly inner: string;
}

export interface Affix {
  readonly before: readonly string[];
  readonly after: readonly string[];
  readonly adds: readonly Concept[];
  readonly leaves: number;
}

/** One language, made ready for look-up. What only some texts need is built when the first such text comes. */
export interface LanguagePack {
  readonly code: string;
  readonly index: number;
  readonly negation: Direction;
  readonly sixHourClock: boolean;
  readonly onesFirst: boolean;
  readonly sounds: readonly (readonly [string, string])[];
  /** The phrases, from the first word on. */
  readonly root: () => TrieNode;
  readonly words: ReadonlyMap<string, number>;
  readonly byHead: ReadonlyMap<string, readonly Pattern[]>;
  readonly byTail: ReadonlyMap<string, readonly Pattern[]>;
  readonly byInner: readonly Pattern[];
  /** Symbols of the words by how they sound. */
  readonly soundWords: () => ReadonlyMap<string, readonly number[]>;
  readonly affixes: readonly Affix[];
  /** Words never taken for a slip of another. */
  readonly common: ReadonlySet<string>;
  readonly joiners: ReadonlySet<number>;
  readonly yes: ReadonlySet<string>;
  readonly no: ReadonlySet<string>;
  readonly typos: () => TypoIndex;
  /** What was looked up before; changes speed only, never an answer. */
  readonly found: Map<string, unknown>;
  readonly guessed: Map<string, unknown>;
}

/** Builds the look-up tables of one digested language. */
export function packOf(
  digest: LanguageDigest,
  index: number,
  concepts: ReadonlyMap<string, Concept>,
): LanguagePack {
  const words = new Map<string, number>();
  const patterns: Pattern[] = [];
  for (const [place, lexeme] of digest.lexemes.entries())
    if (lexeme.includes('*')) patterns.push(patternOf(lexeme, place + FIRST_LEXEME));
    else words.set(lexeme, place + FIRST_LEXEME);
  const known = (names: readonly string[]) => names.flatMap((name) => concepts.get(name) ?? []);
  const { code, negation, sixHourClock, onesFirst, sounds } = digest;
  return {
    code,
    index,
    negation,
    sixHourClock,
    onesFirst,
    sounds,
    root: once(() => trieOf(digest, known)),
    words,
    byHead: groupBy(patterns, (pattern) => pattern.head),
    byTail: groupBy(
      patterns.filter((pattern) => pattern.head === ''),
      (pattern) => pattern.tail,
    ),
    byInner: patterns.filter((pattern) => pattern.head === '' && pattern.tail === ''),
    soundWords: once(() => soundWordsOf(words, sounds)),
    affixes: digest.affixes.map((affix) => ({ ...affix, adds: known(affix.adds) })),
    common: new Set(digest.common),
    joiners: new Set(digest.joiners),
    yes: new Set(digest.yes),
    no: new Set(digest.no),
    typos: once(() => typoIndex(words)),
    found: new Map(),
    guessed: new Map(),
  };
}

/** Builds at the first call, and then lets go of what it was built from. */
function once<T>(build: () => T): () => T {
  let pending: (() => T) | null = build;
  let built: T | null = null;
  return () => {
    if (pending !== null) built = pending();
    pending = null;
    return built as T;
  };
}

function trieOf(digest: LanguageDigest, known: (names: readonly string[]) => Concept[]): TrieNode {
  const root = newNode('root');
  const meanings = digest.meanings.map(
    ([names, value, hours]): Meaning => ({ concepts: known(names), value, hours }),
  );
  const { phrases } = digest;
  for (let at = 0; at < phrases.length; ) {
    const meaning = meanings[phrases[at] ?? 0];
    const end = at + 2 + (phrases[at + 1] ?? 0);
    if (meaning) layPhrase(root, phrases, at + 2, end, meaning);
    at = end;
  }
  return root;
}

function patternOf(word: string, symbol: number): Pattern {
  const isInner = word.length > 2 && word.startsWith('*') && word.endsWith('*');
  if (isInner) return { symbol, head: '', tail: '', inner: word.slice(1, -1) };
  const star = word.indexOf('*');
  return { symbol, head: word.slice(0, star), tail: word.slice(star + 1), inner: '' };
}

function groupBy(
  patterns: readonly Pattern[],
  keyOf: (pattern: Pattern) => string,
): ReadonlyMap<string, readonly Pattern[]> {
  const groups = new Map<string, Pattern[]>();
  for (const pattern of patterns) {
    const key = keyOf(pattern);
    if (key === '') continue;
    const group = groups.get(key);
    if (group) group.push(pattern);
    else groups.set(key, [pattern]);
  }
  return groups;
}

function soundWordsOf(
  words: ReadonlyMap<string, number>,
  sounds: readonly (readonly [string, string])[],
): ReadonlyMap<string, readonly number[]> {
  const bySound = new Map<string, number[]>();
  for (const [word, symbol] of words) {
    if (word.length < 3) continue;
    const key = soundKey(word, sounds);
    if (key.length < 3) continue;
    const group = bySound.get(key);
    if (group) group.push(symbol);
    else bySound.set(key, [symbol]);
  }
  return bySound;
}
