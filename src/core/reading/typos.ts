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

/** Symmetric-delete index over the words of five letters and more: small, quick to build, no false dismissals at one slip. */
export function typoIndex(words: ReadonlyMap<string, number>): TypoIndex {
  const list: string[] = [];
  const symbols: number[] = [];
  const byHash = new Map<number, number[]>();
  for (const [word, symbol] of words) {
    if (word.length < SHORTEST) continue;
    const id = list.length;
    list.push(word);
    symbols.push(symbol);
    for (const key of oneOut(word)) {
      const group = byHash.get(key);
      if (group) group.push(id);
      else byHash.set(key, [id]);
    }
  }
  const near = (word: string, most: 1 | 2): readonly number[] => {
    let best = most + 1;
    let found: number[] = [];
    const seen = new Set<number>();
    for (const key of oneOut(word)) {
      for (const id of byHash.get(key) ?? []) {
        if (seen.has(id)) continue;
        seen.add(id);
        const candidate = list[id] ?? '';
        if (Math.abs(candidate.length - word.length) > most) continue;
        if (word.length < FIRST_LETTER_FREE && candidate[0] !== word[0]) continue;
        const slips = slipsBetween(word, candidate, best);
        const symbol = symbols[id];
        if (symbol === undefined || slips > best || slips > most) continue;
        if (slips < best) found = [];
        best = slips;
        found.push(symbol);
      }
    }
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
