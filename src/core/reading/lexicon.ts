import type { AffixData, ConceptKind, Direction, LanguageData } from './data.js';
import { type Step, spellOut, stepsOf } from './expand.js';
import { foldPhrase } from './normalise.js';
import { soundKey } from './sounds.js';
import { isParted } from './tokens.js';
import { type TypoIndex, typoIndex } from './typos.js';

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

/** Symbols stand for dictionary words and patterns. 1 stands for any number written in digits. */
export const NUMBER_SYMBOL = 1;

export interface TrieNode {
  next: Map<number, TrieNode[]> | null;
  /** `meeting`: where the choices of one phrase meet again, so never shared with another phrase. */
  readonly role: 'root' | 'plain' | 'meeting';
  /** Up to three words may stand here. */
  gap: TrieNode | null;
  meaning: Meaning | null;
}

interface Pattern {
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

/** One language, made ready for look-up. */
export interface LanguagePack {
  readonly code: string;
  readonly index: number;
  readonly data: LanguageData;
  readonly negation: Direction;
  readonly root: TrieNode;
  readonly words: Map<string, number>;
  readonly byHead: Map<string, Pattern[]>;
  readonly byTail: Map<string, Pattern[]>;
  readonly byInner: Pattern[];
  readonly soundWords: Map<string, number[]>;
  readonly affixes: readonly Affix[];
  /** Words never taken for a slip of another. */
  readonly common: ReadonlySet<string>;
  readonly joiners: ReadonlySet<number>;
  readonly yes: ReadonlySet<string>;
  readonly no: ReadonlySet<string>;
  readonly stopWords: ReadonlySet<string>;
  /** Built when the first misspelt word comes. */
  typos: () => TypoIndex;
  readonly found: Map<string, unknown>;
  readonly guessed: Map<string, unknown>;
}

const newNode = (role: TrieNode['role']): TrieNode => ({ next: null, role, gap: null, meaning: null });

/** Compiles one language's vocabulary. `fault` is called for every phrase that cannot be used, with the reason. */
export function compileLanguage(
  data: LanguageData,
  index: number,
  concepts: ReadonlyMap<string, Concept>,
  fault: (where: string, what: string) => void,
): LanguagePack {
  const words = new Map<string, number>();
  const patternSymbols = new Map<string, Pattern>();
  const root = newNode('root');
  let nextSymbol = 2;
  const symbolOf = (word: string): number => {
    if (word === '#') return NUMBER_SYMBOL;
    if (word.includes('*')) {
      const known = patternSymbols.get(word);
      if (known) return known.symbol;
      const pattern = patternOf(word, nextSymbol);
      nextSymbol += 1;
      patternSymbols.set(word, pattern);
      return pattern.symbol;
    }
    const known = words.get(word);
    if (known !== undefined) return known;
    words.set(word, nextSymbol);
    nextSymbol += 1;
    return nextSymbol - 1;
  };
  const add = (phrase: string, meaning: Meaning, where: string) => {
    const ways = stepsOf(phrase, wordsOf);
    if ('fault' in ways) return fault(where, `"${phrase}" has ${ways.fault}`);
    for (const steps of ways) addSteps(root, steps, 0, symbolOf, meaning);
  };
  for (const [key, phrases] of Object.entries(data.words)) {
    const meant = conceptsOf(key, concepts, (name) => fault(key, `no concept is called "${name}"`));
    for (const phrase of phrases) add(phrase, { concepts: meant, value: null, hours: null }, key);
  }
  const number = concepts.get('number');
  const wear = concepts.get('hours-said');
  for (const [value, phrases] of Object.entries(data.numbers.words))
    for (const phrase of phrases)
      add(
        phrase,
        { concepts: number ? [number] : [], value: Number(value), hours: null },
        `numbers ${value}`,
      );
  for (const [hours, phrases] of Object.entries(data.numbers.hours ?? {}))
    for (const phrase of phrases)
      add(phrase, { concepts: wear ? [wear] : [], value: null, hours: Number(hours) }, `hours ${hours}`);
  const joiners = new Set((data.numbers.joiners ?? []).map((word) => symbolOf(foldPhrase(word))));
  const patterns = [...patternSymbols.values()];
  let typos: TypoIndex | null = null;
  const common = new Set([...data.neverMisspelt, ...data.common].flatMap(wordsOf));
  return {
    code: data.code,
    index,
    data,
    negation: data.negation,
    root,
    words,
    byHead: groupBy(patterns, (pattern) => pattern.head),
    byTail: groupBy(
      patterns.filter((pattern) => pattern.head === ''),
      (pattern) => pattern.tail,
    ),
    byInner: patterns.filter((pattern) => pattern.head === '' && pattern.tail === ''),
    soundWords: soundWordsOf(words, data),
    affixes: data.affixes.map((affix) => affixOf(affix, concepts, fault)),
    common,
    joiners,
    yes: new Set(data.yes.map(foldWhole)),
    no: new Set(data.no.map(foldWhole)),
    stopWords: new Set(data.stopWords.map(foldWhole)),
    typos: () => {
      typos ??= typoIndex(words);
      return typos;
    },
    found: new Map(),
    guessed: new Map(),
  };
}

/** A whole message as compared with the yes, no and opt-out lists: without marks at its ends and between. */
export function foldWhole(message: string): string {
  return wholeOf(foldPhrase(message));
}

/** The same, of a text already folded. */
export function wholeOf(folded: string): string {
  return folded.replace(/[.,!?;:"'()\s-]+/g, ' ').trim();
}

/** The words of a spelling, as the tokeniser would cut them. */
function wordsOf(spelling: string): string[] {
  const folded = foldPhrase(spelling);
  const words: string[] = [];
  if (/^[-/&+@$%°]$/.test(folded)) return [folded];
  for (const piece of folded.split(/[\s\-/,.!?;:"]+/)) {
    if (piece === '') continue;
    const [head, ...rest] = piece.split("'");
    if (rest.length === 0 || head === undefined) words.push(piece);
    else {
      const tail = rest.join('');
      if (tail !== '' && isParted(head, tail)) words.push(head, tail);
      else words.push(head + tail);
    }
  }
  return words;
}

/** Lays a phrase into the trie. What follows a left-out choice is laid from the same node; choices meet again in one. */
function addSteps(
  node: TrieNode,
  steps: readonly Step[],
  at: number,
  symbolOf: (word: string) => number,
  meaning: Meaning,
): void {
  const step = steps[at];
  if (!step) {
    // A phrase of nothing but left-out choices says nothing.
    if (node.role !== 'root') node.meaning = together(node.meaning, meaning);
    return;
  }
  if (step.kind === 'gap') {
    node.gap ??= newNode('plain');
    addSteps(node.gap, steps, at + 1, symbolOf, meaning);
  } else if (step.kind === 'word')
    addSteps(childOf(node, symbolOf(step.word)), steps, at + 1, symbolOf, meaning);
  else {
    if (step.options.some((option) => option.length === 0)) addSteps(node, steps, at + 1, symbolOf, meaning);
    const filled = step.options.filter((option) => option.length > 0);
    if (filled.length === 0) return;
    const meeting = newNode('meeting');
    for (const option of filled) {
      let last = node;
      for (const word of option.slice(0, -1)) last = childOf(last, symbolOf(word));
      const symbol = symbolOf(option.at(-1) ?? '');
      last.next ??= new Map();
      const there = last.next.get(symbol);
      if (there) there.push(meeting);
      else last.next.set(symbol, [meeting]);
    }
    addSteps(meeting, steps, at + 1, symbolOf, meaning);
  }
}

function childOf(node: TrieNode, symbol: number): TrieNode {
  node.next ??= new Map();
  const there = node.next.get(symbol);
  const shared = there?.find((child) => child.role === 'plain');
  if (shared) return shared;
  const child = newNode('plain');
  if (there) there.push(child);
  else node.next.set(symbol, [child]);
  return child;
}

/** Both meanings of one spelling. */
export function together(before: Meaning | null, more: Meaning): Meaning {
  if (before === null) return more;
  return {
    concepts: [...new Set([...before.concepts, ...more.concepts])],
    value: before.value ?? more.value,
    hours: before.hours ?? more.hours,
  };
}

function patternOf(word: string, symbol: number): Pattern {
  const isInner = word.length > 2 && word.startsWith('*') && word.endsWith('*');
  if (isInner) return { symbol, head: '', tail: '', inner: word.slice(1, -1) };
  const star = word.indexOf('*');
  return { symbol, head: word.slice(0, star), tail: word.slice(star + 1), inner: '' };
}

function groupBy(patterns: readonly Pattern[], keyOf: (pattern: Pattern) => string): Map<string, Pattern[]> {
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

function conceptsOf(
  key: string,
  concepts: ReadonlyMap<string, Concept>,
  unknown: (name: string) => void,
): readonly Concept[] {
  return key.split(' ').flatMap((name) => {
    const concept = concepts.get(name);
    if (!concept) unknown(name);
    return concept ? [concept] : [];
  });
}

function affixOf(
  affix: AffixData,
  concepts: ReadonlyMap<string, Concept>,
  fault: (where: string, what: string) => void,
): Affix {
  const spell = (phrases: readonly string[] | undefined): string[] =>
    (phrases ?? []).flatMap((phrase) => {
      const spellings = spellOut(phrase);
      if ('fault' in spellings) {
        fault('affixes', `"${phrase}" has ${spellings.fault}`);
        return [];
      }
      return spellings.map(foldPhrase);
    });
  return {
    before: spell(affix.before),
    after: spell(affix.after),
    adds: affix.adds
      ? conceptsOf(affix.adds, concepts, (name) => fault('affixes', `no concept is called "${name}"`))
      : [],
    leaves: affix.leaves ?? 3,
  };
}

function soundWordsOf(words: ReadonlyMap<string, number>, data: LanguageData): Map<string, number[]> {
  const bySound = new Map<string, number[]>();
  for (const [word, symbol] of words) {
    if (word.length < 3) continue;
    const key = soundKey(word, data.sounds);
    if (key.length < 3) continue;
    const group = bySound.get(key);
    if (group) group.push(symbol);
    else bySound.set(key, [symbol]);
  }
  return bySound;
}
