/** Finds dictionary words within one or two slips (a letter dropped, added, changed, or two swapped). */
export interface TypoIndex {
  /** Symbols of the nearest words within `most` slips; empty when none. */
  near: (word: string, most: 1 | 2) => readonly number[];
}

const BASE = 31;
/** Shorter words are too easily one another's misspelling. */
const SHORTEST = 5;
/** In shorter words than this the first letter is taken as meant: "sells" is no "smells". */
const FIRST_LETTER_FREE = 7;

/** Hashes of the word and of the word with each one letter left out. */
function oneOut(word: string): number[] {
  const hashes = [hash(word, -1)];
  for (let skip = 0; skip < word.length; skip += 1) {
    if (skip > 0 && word[skip] === word[skip - 1]) continue;
    hashes.push(hash(word, skip));
  }
  return hashes;
}

function hash(word: string, skip: number): number {
  let value = 7;
  for (let at = 0; at < word.length; at += 1)
    if (at !== skip) value = (Math.imul(value, BASE) + word.charCodeAt(at)) | 0;
  return value;
}

/** Chains of entries by hash, in flat arrays: a tenth of the memory of maps of lists. */
class Chains {
  private readonly heads: Int32Array;
  private readonly keys: number[] = [];
  private readonly ids: number[] = [];
  private readonly next: number[] = [];
  private readonly mask: number;

  constructor(expected: number) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(16, expected)));
    this.mask = size - 1;
    this.heads = new Int32Array(size).fill(-1);
  }

  add(key: number, id: number): void {
    const slot = key & this.mask;
    this.keys.push(key);
    this.ids.push(id);
    this.next.push(this.heads[slot] ?? -1);
    this.heads[slot] = this.keys.length - 1;
  }

  each(key: number, take: (id: number) => void): void {
    for (let at = this.heads[key & this.mask] ?? -1; at >= 0; at = this.next[at] ?? -1)
      if (this.keys[at] === key) take(this.ids[at] ?? 0);
  }
}

/** Symmetric-delete index over the words of five letters and more: small, quick to build, no false dismissals at one slip. */
export function typoIndex(words: ReadonlyMap<string, number>): TypoIndex {
  const list: string[] = [];
  const symbols: number[] = [];
  const chains = new Chains(words.size * 8);
  for (const [word, symbol] of words) {
    if (word.length < SHORTEST) continue;
    const id = list.push(word) - 1;
    symbols.push(symbol);
    for (const key of oneOut(word)) chains.add(key, id);
  }
  const near = (word: string, most: 1 | 2): readonly number[] => {
    let best = most + 1;
    let found: number[] = [];
    const seen = new Set<number>();
    for (const key of oneOut(word))
      chains.each(key, (id) => {
        if (seen.has(id)) return;
        seen.add(id);
        const candidate = list[id] ?? '';
        if (Math.abs(candidate.length - word.length) > most) return;
        if (word.length < FIRST_LETTER_FREE && candidate[0] !== word[0]) return;
        const slips = slipsBetween(word, candidate, best);
        const symbol = symbols[id];
        if (symbol === undefined || slips > best || slips > most) return;
        if (slips < best) found = [];
        best = slips;
        found.push(symbol);
      });
    return found;
  };
  return { near };
}

/** Damerau-Levenshtein distance (adjacent swaps count one), given up once it exceeds `limit`. */
export function slipsBetween(a: string, b: string, limit: number): number {
  let twoBack: number[] = [];
  let back = Array.from({ length: b.length + 1 }, (_, at) => at);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j += 1) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let value = Math.min((back[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (back[j - 1] ?? 0) + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        value = Math.min(value, (twoBack[j - 2] ?? 0) + 1);
      row.push(value);
      if (value < least) least = value;
    }
    if (least > limit) return least;
    twoBack = back;
    back = row;
  }
  return back[b.length] ?? 0;
}
