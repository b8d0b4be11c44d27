import { type Cell, cellsOf, lookupOrder, mainLanguage } from './cells.js';
import type { CompiledLanguages } from './compile.js';
import type { LanguagePack } from './lexicon.js';
import { find } from './lookup.js';
import type { Token } from './tokens.js';
import {
  type Concept,
  END_SYMBOL,
  eachFollowing,
  type Meaning,
  NUMBER_SYMBOL,
  START_SYMBOL,
  type TrieNode,
  together,
} from './trie.js';

/** One thing understood, or one mark that parts what was said. Positions are in the folded text. */
export interface Item {
  readonly kind: 'meaning' | 'number' | 'comma' | 'stop' | 'question';
  readonly concepts: readonly Concept[];
  readonly value: number;
  readonly shape: Token['shape'];
  readonly hours: number | null;
  /** Places in the list of cells (`to` exclusive); distances between items are counted in cells. */
  readonly cellFrom: number;
  readonly cellTo: number;
  readonly from: number;
  readonly to: number;
  readonly pack: LanguagePack | null;
}

export interface Matched {
  /** What was understood and the marks, in order. Words that say nothing here (fillers) are left out. */
  readonly items: Item[];
  readonly main: LanguagePack;
  /** Cells that are words or numbers and no fillers, and those of them that an item covers. */
  readonly meaningful: number;
  readonly recognised: number;
  readonly unread: readonly { readonly from: number; readonly to: number }[];
  /** The words of the cells, for rules that look at single words. */
  readonly words: readonly string[];
}

const LONGEST_GAP = 3;
const LONGEST_PHRASE = 12;
const FREE = 0;
const TAKEN = 1;
const FILLER = 2;
const NO_CONCEPTS: readonly Concept[] = [];
const NUMBER_ONLY: readonly number[] = [NUMBER_SYMBOL];
const NONE: readonly number[] = [];

/** Turns tokens into items: chooses the language of the text and of each word, then takes the longest phrases. */
export function match(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  hint: string | undefined,
): Matched {
  const main = mainLanguage(compiled, tokens, hint);
  const cells = cellsOf(compiled, tokens, lookupOrder(compiled, main, hint));
  const taken = new Uint8Array(cells.length);
  const items: Item[] = [];
  const walk: Walk = {
    cells,
    taken,
    pack: main,
    path: [],
    best: [],
    meaning: null,
    anchors: 0,
    bestAnchors: 0,
  };
  for (let at = 0; at < cells.length; at += 1) {
    const cell = cells[at];
    if (!cell || taken[at] !== FREE) continue;
    const item = itemAt(compiled, walk, cell, at);
    if (item) items.push(item);
  }
  return { items, main, words: cells.map((cell) => cell.word), ...coverage(cells, taken) };
}

function itemAt(compiled: CompiledLanguages, walk: Walk, cell: Cell, at: number): Item | null {
  const { token } = cell;
  if (token.kind === 'comma' || token.kind === 'stop' || token.kind === 'question')
    return markItem(cell, at, token.kind);
  if (token.kind === 'emoji') {
    const concepts = compiled.emoji.get(token.word);
    return concepts ? meaningItem(walk, cell, at, at, null, { concepts, value: null, hours: null }) : null;
  }
  if (cell.adds.length > 0)
    return meaningItem(walk, cell, at, at, cell.pack, { concepts: cell.adds, value: null, hours: null });
  if (token.kind === 'word') return cell.pack ? phraseAt(walk, cell, at, cell.pack) : null;
  const { cells } = walk;
  for (const pack of [cells[at + 1]?.pack, cells[at - 1]?.pack]) {
    const item = pack ? phraseAt(walk, cell, at, pack) : null;
    if (item) return item;
  }
  walk.taken[at] = TAKEN;
  return markItem(cell, at, 'number');
}

/** The longest phrase of one language that begins at a cell; marks its cells. */
function phraseAt(walk: Walk, cell: Cell, at: number, pack: LanguagePack): Item | null {
  walk.pack = pack;
  walk.path.length = 0;
  walk.best.length = 0;
  walk.meaning = null;
  walk.anchors = 0;
  walk.bestAnchors = 0;
  const root = pack.root();
  follow(walk, root, at);
  if (isStart(walk.cells, at)) followAnchor(walk, root, START_SYMBOL, at);
  const { meaning, best } = walk;
  const lastAt = best[best.length - 1];
  if (!meaning || lastAt === undefined) return null;
  for (const covered of best) walk.taken[covered] = TAKEN;
  return meaningItem(walk, cell, at, lastAt, pack, meaning);
}

/** Fillers are marked and make no item. */
function meaningItem(
  walk: Walk,
  cell: Cell,
  at: number,
  lastAt: number,
  pack: LanguagePack | null,
  meaning: Meaning,
): Item | null {
  if (lastAt === at) walk.taken[at] = TAKEN;
  if (meaning.concepts.every((concept) => concept.kind === 'filler')) {
    for (let covered = at; covered <= lastAt; covered += 1)
      if (walk.taken[covered] === TAKEN) walk.taken[covered] = FILLER;
    return null;
  }
  return {
    kind: 'meaning',
    concepts: meaning.concepts,
    value: meaning.value ?? Number.NaN,
    shape: cell.token.shape,
    hours: meaning.hours,
    cellFrom: at,
    cellTo: lastAt + 1,
    from: cell.from,
    to: walk.cells[lastAt]?.to ?? cell.to,
    pack,
  };
}

function markItem(cell: Cell, at: number, kind: Item['kind']): Item {
  return {
    kind,
    concepts: NO_CONCEPTS,
    value: kind === 'number' ? cell.token.value : Number.NaN,
    shape: cell.token.shape,
    hours: null,
    cellFrom: at,
    cellTo: at + 1,
    from: cell.from,
    to: cell.to,
    pack: cell.pack,
  };
}

interface Walk {
  readonly cells: readonly Cell[];
  readonly taken: Uint8Array;
  pack: LanguagePack;
  readonly path: number[];
  readonly best: number[];
  meaning: Meaning | null;
  /** Sentence ends and beginnings the phrase insists on; of two phrases of one length the one with more counts. */
  anchors: number;
  bestAnchors: number;
}

/** Follows the phrases of one language from a cell on; keeps the one that takes most words. */
function follow(walk: Walk, node: TrieNode, at: number): void {
  if (node.meaning) keepIfBetter(walk, node.meaning);
  if (walk.path.length > 0 && isEnd(walk.cells, at)) followAnchor(walk, node, END_SYMBOL, at);
  const cell = walk.cells[at];
  if (!cell || walk.path.length > LONGEST_PHRASE) return;
  if (node.first && walk.taken[at] === FREE)
    for (const symbol of symbolsIn(cell, walk.pack)) {
      walk.path.push(at);
      eachFollowing(node, symbol, (next) => follow(walk, next, at + 1));
      walk.path.pop();
    }
  if (node.gap) followGap(walk, node.gap, at);
}

function followAnchor(walk: Walk, node: TrieNode, symbol: number, at: number): void {
  walk.anchors += 1;
  eachFollowing(node, symbol, (next) => follow(walk, next, at));
  walk.anchors -= 1;
}

function isStart(cells: readonly Cell[], at: number): boolean {
  const before = cells[at - 1]?.token.kind;
  return before === undefined || before === 'stop' || before === 'question';
}

function isEnd(cells: readonly Cell[], at: number): boolean {
  const next = cells[at]?.token.kind;
  return next === undefined || next === 'stop' || next === 'comma' || next === 'question' || next === 'emoji';
}

function followGap(walk: Walk, after: TrieNode, at: number): void {
  for (let over = 0; over <= LONGEST_GAP; over += 1) {
    const cell = walk.cells[at + over];
    if (!cell || cell.token.kind === 'stop' || cell.token.kind === 'comma') return;
    follow(walk, after, at + over);
  }
}

function keepIfBetter(walk: Walk, meaning: Meaning): void {
  const { path, best, anchors } = walk;
  const isSameLength = path.length === best.length && path.at(-1) === best.at(-1);
  if (path.length > best.length || (path.length === best.length && anchors > walk.bestAnchors)) {
    best.length = 0;
    best.push(...path);
    walk.meaning = meaning;
    walk.bestAnchors = anchors;
  } else if (isSameLength && anchors === walk.bestAnchors && walk.meaning)
    walk.meaning = together(walk.meaning, meaning);
}

function symbolsIn(cell: Cell, pack: LanguagePack): readonly number[] {
  if (cell.pack === pack) return cell.symbols;
  if (cell.token.kind === 'number') {
    const written = pack.words.get(cell.word);
    return written === undefined ? NUMBER_ONLY : [NUMBER_SYMBOL, written];
  }
  if (cell.token.kind !== 'word' || cell.adds.length > 0) return NONE;
  return find(pack, cell.word)?.symbols ?? NONE;
}

function coverage(
  cells: readonly Cell[],
  taken: Uint8Array,
): Pick<Matched, 'meaningful' | 'recognised' | 'unread'> {
  let meaningful = 0;
  let recognised = 0;
  const unread: { from: number; to: number }[] = [];
  for (const [at, cell] of cells.entries()) {
    const { kind } = cell.token;
    if ((kind !== 'word' && kind !== 'number' && kind !== 'emoji') || taken[at] === FILLER) continue;
    meaningful += 1;
    if (taken[at] === TAKEN) recognised += 1;
    else unread.push({ from: cell.from, to: cell.to });
  }
  return { meaningful, recognised, unread };
}
