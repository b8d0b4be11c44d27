import type { CompiledLanguages } from './compile.js';
import type { Concept, LanguagePack, TrieNode } from './lexicon.js';
import { NUMBER_SYMBOL, together } from './lexicon.js';
import { find, guess, type Known } from './lookup.js';
import type { Token } from './tokens.js';

/** A token made ready: which language knows it, and as what. */
interface Cell {
  readonly token: Token;
  readonly word: string;
  readonly from: number;
  readonly to: number;
  readonly pack: LanguagePack | null;
  readonly symbols: readonly number[];
  readonly adds: readonly Concept[];
}

/** One thing understood, or one mark that parts what was said. Positions are in the folded text. */
export interface Item {
  readonly kind: 'meaning' | 'number' | 'comma' | 'stop' | 'question';
  readonly concepts: readonly Concept[];
  readonly value: number;
  readonly shape: Token['shape'];
  readonly hours: number | null;
  readonly glued: boolean;
  /** Positions in the list of cells; distances between items are counted in cells. */
  readonly cellFrom: number;
  readonly cellTo: number;
  readonly from: number;
  readonly to: number;
  readonly pack: LanguagePack | null;
  /** Filled in with the words a `...` phrase is spread over. */
  readonly cells: readonly number[];
}

export interface Matched {
  readonly items: Item[];
  readonly main: LanguagePack;
  /** Cells that are words or numbers, and those no item covers. */
  readonly meaningful: number;
  readonly recognised: number;
  readonly unread: readonly { readonly from: number; readonly to: number }[];
  /** The words of the cells, for rules that look at single words. */
  readonly words: readonly string[];
}

/** Unknown words beyond this many in one text are not guessed at: bounds the time of any text. */
const MOST_GUESSES = 80;
const LONGEST_GAP = 3;

/** Turns tokens into items: chooses the language of the text and of each word, then takes the longest phrases. */
export function match(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  hint: string | undefined,
): Matched {
  const main = mainLanguage(compiled, tokens, hint);
  const order = lookupOrder(compiled, main, hint);
  const cells = cellsOf(compiled, tokens, order);
  const taken = new Uint8Array(cells.length);
  const items: Item[] = [];
  for (let at = 0; at < cells.length; at += 1) {
    const cell = cells[at];
    if (!cell || taken[at] === 1) continue;
    const item = itemAt(compiled, cells, at, taken);
    if (item) {
      items.push(item);
      for (const covered of item.cells) taken[covered] = 1;
    }
  }
  return { items, main, words: cells.map((cell) => cell.word), ...coverage(cells, taken, items) };
}

function mainLanguage(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  hint: string | undefined,
): LanguagePack {
  const scores = new Float64Array(compiled.packs.length);
  const hinted = compiled.packs.findIndex((pack) => pack.code === hint);
  const english = compiled.packs.findIndex((pack) => pack.code === 'en');
  if (english >= 0) scores[english] = 0.1;
  const hintPack = compiled.packs[hinted];
  if (hintPack) scores[hinted] = (scores[hinted] ?? 0) + 1.5;
  let looked = 0;
  for (const token of tokens) {
    if (token.kind !== 'word') continue;
    const mask = compiled.known.get(token.word) ?? 0;
    if (mask === 0) {
      if (hintPack && looked < MOST_GUESSES && find(hintPack, token.word))
        scores[hinted] = (scores[hinted] ?? 0) + 0.7;
      looked += 1;
      continue;
    }
    let sharers = 0;
    for (let bits = mask; bits !== 0; bits &= bits - 1) sharers += 1;
    const weight = sharers === 1 ? 1.5 : 1 / sharers;
    for (let index = 0; index < scores.length; index += 1)
      if ((mask & (1 << index)) !== 0) scores[index] = (scores[index] ?? 0) + weight;
  }
  let best = 0;
  for (let index = 1; index < scores.length; index += 1)
    if ((scores[index] ?? 0) > (scores[best] ?? 0)) best = index;
  const pack = compiled.packs[best];
  if (!pack) throw new RangeError('no language is loaded: flows/languages has none that can be read');
  return pack;
}

function lookupOrder(
  compiled: CompiledLanguages,
  main: LanguagePack,
  hint: string | undefined,
): LanguagePack[] {
  const order = [main];
  for (const code of [hint, 'en'])
    for (const pack of compiled.packs) if (pack.code === code && !order.includes(pack)) order.push(pack);
  return order;
}

function cellsOf(
  compiled: CompiledLanguages,
  tokens: readonly Token[],
  order: readonly LanguagePack[],
): Cell[] {
  const cells: Cell[] = [];
  let guesses = 0;
  for (const token of tokens) {
    if (token.kind !== 'word') {
      cells.push({
        token,
        word: token.word,
        from: token.from,
        to: token.to,
        pack: null,
        symbols: [],
        adds: [],
      });
      continue;
    }
    let found = findInOrder(compiled, token.word, order);
    if (!found && guesses < MOST_GUESSES) {
      guesses += 1;
      found = guessInOrder(compiled, token.word, order);
    }
    const pieces = found?.known.pieces;
    if (found && pieces)
      for (const piece of pieces)
        cells.push({
          token,
          word: piece.word,
          from: token.from + Math.min(piece.from, token.to - token.from - 1),
          to: Math.min(token.from + piece.to, token.to),
          pack: found.pack,
          symbols: piece.symbols,
          adds: piece.adds,
        });
    else
      cells.push({
        token,
        word: token.word,
        from: token.from,
        to: token.to,
        pack: found?.pack ?? null,
        symbols: found?.known.symbols ?? [],
        adds: [],
      });
  }
  return cells;
}

interface Found {
  readonly pack: LanguagePack;
  readonly known: Known;
}

/** An ordinary word of the language that means nothing here. */
const ORDINARY: Known = { symbols: [], pieces: null };

function findInOrder(
  compiled: CompiledLanguages,
  word: string,
  order: readonly LanguagePack[],
): Found | null {
  for (const pack of order) {
    const known = find(pack, word);
    // A short word of another language is more often a name or a slip than that word.
    if (known && (pack === order[0] || word.length >= 2)) return { pack, known };
  }
  for (const pack of order) if (pack.common.has(word)) return { pack, known: ORDINARY };
  const mask = compiled.known.get(word) ?? 0;
  return mask !== 0 && word.length >= 4 ? inMask(compiled, word, mask) : null;
}

function inMask(compiled: CompiledLanguages, word: string, mask: number): Found | null {
  for (const pack of compiled.packs) {
    if ((mask & (1 << pack.index)) === 0) continue;
    const known = find(pack, word);
    if (known) return { pack, known };
  }
  return null;
}

function guessInOrder(
  compiled: CompiledLanguages,
  word: string,
  order: readonly LanguagePack[],
): Found | null {
  for (const pack of order) {
    const known = guess(pack, word);
    if (known) return { pack, known };
  }
  for (const pack of compiled.packs) {
    if (order.includes(pack) || word.length < 5) continue;
    const known = find(pack, word);
    if (known) return { pack, known };
  }
  return null;
}

function symbolsIn(cell: Cell, pack: LanguagePack): readonly number[] {
  if (cell.pack === pack) return cell.symbols;
  if (cell.token.kind === 'number') return NUMBER_ONLY;
  if (cell.token.kind !== 'word' || cell.adds.length > 0) return NONE;
  return find(pack, cell.word)?.symbols ?? NONE;
}

const NUMBER_ONLY: readonly number[] = [NUMBER_SYMBOL];
const NONE: readonly number[] = [];

function itemAt(
  compiled: CompiledLanguages,
  cells: readonly Cell[],
  at: number,
  taken: Uint8Array,
): Item | null {
  const cell = cells[at];
  if (!cell) return null;
  const { token } = cell;
  if (token.kind === 'comma' || token.kind === 'stop' || token.kind === 'question')
    return plainItem(cell, at, token.kind);
  if (token.kind === 'emoji') {
    const concepts = compiled.emoji.get(token.word);
    return concepts ? { ...plainItem(cell, at, 'meaning'), concepts } : null;
  }
  if (cell.adds.length > 0)
    return { ...plainItem(cell, at, 'meaning'), concepts: cell.adds, pack: cell.pack };
  const packs = token.kind === 'number' ? [cells[at + 1]?.pack, cells[at - 1]?.pack] : [cell.pack];
  for (const pack of packs) {
    if (!pack) continue;
    const best: Walk = { cells: [], meaning: null };
    walk({ cells, pack, taken, best }, pack.root, at, []);
    if (!best.meaning) continue;
    const last = cells[best.cells[best.cells.length - 1] ?? at] ?? cell;
    return {
      ...plainItem(cell, at, 'meaning'),
      concepts: best.meaning.concepts,
      value: best.meaning.value ?? Number.NaN,
      hours: best.meaning.hours,
      cellTo: (best.cells[best.cells.length - 1] ?? at) + 1,
      to: last.to,
      pack,
      cells: best.cells,
    };
  }
  return token.kind === 'number' ? plainItem(cell, at, 'number') : null;
}

function plainItem(cell: Cell, at: number, kind: Item['kind']): Item {
  return {
    kind,
    concepts: [],
    value: kind === 'number' ? cell.token.value : Number.NaN,
    shape: cell.token.shape,
    hours: null,
    glued: cell.token.glued,
    cellFrom: at,
    cellTo: at + 1,
    from: cell.from,
    to: cell.to,
    pack: cell.pack,
    cells: [at],
  };
}

interface Walk {
  cells: number[];
  meaning: TrieNode['meaning'];
}

interface WalkContext {
  readonly cells: readonly Cell[];
  readonly pack: LanguagePack;
  readonly taken: Uint8Array;
  readonly best: Walk;
}

/** Follows the phrases of one language from a cell on; keeps the one that takes most words. */
function walk(context: WalkContext, node: TrieNode, at: number, path: number[]): void {
  const { cells, pack, taken, best } = context;
  if (node.meaning && path.length > best.cells.length) {
    best.cells = [...path];
    best.meaning = node.meaning;
  } else if (
    node.meaning &&
    best.meaning &&
    path.length === best.cells.length &&
    path.at(-1) === best.cells.at(-1) &&
    node.meaning !== best.meaning
  )
    best.meaning = together(best.meaning, node.meaning);
  const cell = cells[at];
  if (!cell || path.length > 12) return;
  if (node.next && taken[at] === 0)
    for (const symbol of symbolsIn(cell, pack)) {
      const following = node.next.get(symbol);
      if (!following) continue;
      path.push(at);
      for (const next of following) walk(context, next, at + 1, path);
      path.pop();
    }
  if (node.gap) walkGap(context, node.gap, at, path);
}

function walkGap(context: WalkContext, after: TrieNode, at: number, path: number[]): void {
  for (let over = 0; over <= LONGEST_GAP; over += 1) {
    const cell = context.cells[at + over];
    if (!cell || cell.token.kind === 'stop') return;
    walk(context, after, at + over, path);
  }
}

function coverage(
  cells: readonly Cell[],
  taken: Uint8Array,
  items: readonly Item[],
): Pick<Matched, 'meaningful' | 'recognised' | 'unread'> {
  const isFiller = new Uint8Array(cells.length);
  for (const item of items)
    if (item.kind === 'meaning' && item.concepts.every((concept) => concept.kind === 'filler'))
      for (const cell of item.cells) isFiller[cell] = 1;
  let meaningful = 0;
  let recognised = 0;
  const unread: { from: number; to: number }[] = [];
  for (const [at, cell] of cells.entries()) {
    if (cell.token.kind !== 'word' && cell.token.kind !== 'number' && cell.token.kind !== 'emoji') continue;
    if (isFiller[at] === 1) continue;
    meaningful += 1;
    if (taken[at] === 1) recognised += 1;
    else unread.push({ from: cell.from, to: cell.to });
  }
  return { meaningful, recognised, unread };
}
