import type { ConceptKind } from './data.js';

export interface Concept {
  readonly name: string;
  readonly kind: ConceptKind;
}

/** What a phrase of the vocabulary means. `value`: for number words; `hours`: for phrases that say hours. */
export interface Meaning {
  readonly concepts: readonly Concept[];
  readonly value: number | null;
  readonly hours: number | null;
}

/** Symbols stand for dictionary words and patterns, and these for what is no word. */
export const GAP_SYMBOL = 0;
export const NUMBER_SYMBOL = 1;
/** `^` and `$`: the phrase begins, or ends, where a sentence does. */
export const START_SYMBOL = 2;
export const END_SYMBOL = 3;
/** Symbol of the first dictionary word. */
export const FIRST_LEXEME = 4;

/** One place in the phrases of a language. Most places go on to one symbol only, which is kept without a map. */
export interface TrieNode {
  /** `meeting`: where the choices of one phrase meet again, so never shared with another phrase. */
  readonly role: 'root' | 'plain' | 'meeting';
  firstSymbol: number;
  first: TrieNode | null;
  others: Map<number, TrieNode[]> | null;
  /** Up to three words may stand here. */
  gap: TrieNode | null;
  meaning: Meaning | null;
}

export const newNode = (role: TrieNode['role']): TrieNode => ({
  role,
  firstSymbol: -1,
  first: null,
  others: null,
  gap: null,
  meaning: null,
});

/** Calls `take` with every place a symbol leads to. */
export function eachFollowing(node: TrieNode, symbol: number, take: (next: TrieNode) => void): void {
  if (node.first !== null && node.firstSymbol === symbol) take(node.first);
  const others = node.others?.get(symbol);
  if (others) for (const next of others) take(next);
}

/** Whether some place a symbol leads to passes a test. */
export function leadsTo(node: TrieNode, symbol: number, test: (next: TrieNode) => boolean): boolean {
  let isFound = false;
  eachFollowing(node, symbol, (next) => {
    isFound ||= test(next);
  });
  return isFound;
}

/**
 * Lays one phrase, encoded as in `LanguageDigest.phrases`, from `at` to `end` into the trie. What follows a choice that
 * may be left out is laid from the same node; the options of a choice meet again in one node.
 */
export function layPhrase(
  node: TrieNode,
  code: readonly number[],
  at: number,
  end: number,
  meaning: Meaning,
): void {
  if (at >= end) {
    // A phrase of nothing but left-out choices says nothing.
    if (node.role !== 'root') node.meaning = together(node.meaning, meaning);
    return;
  }
  const symbol = code[at] ?? 0;
  if (symbol >= 0) {
    layPhrase(symbol === GAP_SYMBOL ? gapOf(node) : childOf(node, symbol), code, at + 1, end, meaning);
    return;
  }
  const options: [number, number][] = [];
  let next = at + 1;
  for (let count = -symbol; count > 0; count -= 1) {
    const length = code[next] ?? 0;
    options.push([next + 1, next + 1 + length]);
    next += 1 + length;
  }
  if (options.some(([from, to]) => from === to)) layPhrase(node, code, next, end, meaning);
  const meeting = newNode('meeting');
  for (const [from, to] of options) {
    if (from === to) continue;
    let last = node;
    for (let place = from; place < to - 1; place += 1) last = childOf(last, code[place] ?? 0);
    lead(last, code[to - 1] ?? 0, meeting);
  }
  layPhrase(meeting, code, next, end, meaning);
}

function gapOf(node: TrieNode): TrieNode {
  node.gap ??= newNode('plain');
  return node.gap;
}

function childOf(node: TrieNode, symbol: number): TrieNode {
  let shared: TrieNode | null = null;
  eachFollowing(node, symbol, (next) => {
    if (next.role === 'plain') shared ??= next;
  });
  if (shared !== null) return shared;
  const child = newNode('plain');
  lead(node, symbol, child);
  return child;
}

function lead(node: TrieNode, symbol: number, child: TrieNode): void {
  if (node.first === null) {
    node.firstSymbol = symbol;
    node.first = child;
    return;
  }
  node.others ??= new Map();
  const there = node.others.get(symbol);
  if (there) there.push(child);
  else node.others.set(symbol, [child]);
}

/** Both meanings of one spelling. */
export function together(before: Meaning | null, more: Meaning): Meaning {
  if (before === null || before === more) return more;
  return {
    concepts: [...new Set([...before.concepts, ...more.concepts])],
    value: before.value ?? more.value,
    hours: before.hours ?? more.hours,
  };
}
