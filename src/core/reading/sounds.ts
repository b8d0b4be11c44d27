/**
 * How a word sounds, coarsely: a language's own letter pairs replaced in order, then doubled letters made one.
 * Two spellings with one key are taken for one word when neither is in the vocabulary as written.
 */
export function soundKey(word: string, sounds: readonly (readonly [string, string])[]): string {
  let key = word;
  for (const [from, to] of sounds) {
    if (from.startsWith('^')) {
      if (key.startsWith(from.slice(1))) key = to + key.slice(from.length - 1);
    } else if (from.endsWith('$')) {
      if (key.endsWith(from.slice(0, -1))) key = key.slice(0, key.length - from.length + 1) + to;
    } else if (key.includes(from)) key = key.replaceAll(from, to);
  }
  let single = '';
  for (const letter of key) if (letter !== single[single.length - 1]) single += letter;
  return single;
}
