import type { ReadingData, SignRuleData, UrgencyRuleData } from './data.js';
import { type DataFault, digestReading, type ReadingDigest } from './digest.js';
import { type LanguagePack, packOf } from './lexicon.js';
import type { Concept } from './trie.js';

/** Everything the reader needs, made ready once. */
export interface CompiledLanguages {
  readonly packs: readonly LanguagePack[];
  readonly concepts: ReadonlyMap<string, Concept>;
  /** folded word -> bits of the languages whose dictionaries hold it. */
  readonly known: ReadonlyMap<string, number>;
  /** Whole messages that are an opt-out, of all languages. */
  readonly stopWords: ReadonlySet<string>;
  readonly emoji: ReadonlyMap<string, readonly Concept[]>;
  /** Rules by the concept they start from, `not x` under "not x". */
  readonly rules: ReadonlyMap<string, readonly SignRuleData[]>;
  readonly urgency: readonly UrgencyRuleData[];
}

/** The bits of a number that stand for languages. */
const MOST_LANGUAGES = 30;

/** Compiles the languages' data for `readText`; see `digestReading` for what happens to faulty phrases. */
export function compileLanguages(data: ReadingData, onFault?: (fault: DataFault) => void): CompiledLanguages {
  return compileDigest(digestReading(data, onFault));
}

/** The second half of compiling: from digested vocabulary, as kept between starts, to look-up tables. */
export function compileDigest(digest: ReadingDigest): CompiledLanguages {
  const concepts = new Map<string, Concept>();
  for (const [name, { kind }] of Object.entries(digest.concepts)) concepts.set(name, { name, kind });
  const packs = digest.languages
    .slice(0, MOST_LANGUAGES)
    .map((language, index) => packOf(language, index, concepts));
  const known = new Map<string, number>();
  const note = (word: string, pack: LanguagePack) =>
    known.set(word, (known.get(word) ?? 0) | (1 << pack.index));
  for (const pack of packs) {
    for (const word of pack.words.keys()) note(word, pack);
    for (const word of pack.common) note(word, pack);
  }
  const rules = new Map<string, SignRuleData[]>();
  for (const rule of digest.rules) {
    const group = rules.get(rule.when);
    if (group) group.push(rule);
    else rules.set(rule.when, [rule]);
  }
  return {
    packs,
    concepts,
    known,
    stopWords: new Set(digest.languages.flatMap((language) => language.stopWords)),
    emoji: emojiOf(digest, concepts),
    rules,
    urgency: digest.urgency,
  };
}

function emojiOf(digest: ReadingDigest, concepts: ReadonlyMap<string, Concept>): Map<string, Concept[]> {
  const emoji = new Map<string, Concept[]>();
  for (const [names, marks] of Object.entries(digest.emoji))
    for (const mark of marks) {
      const bare = [...mark].find((unit) => unit !== '\ufe0f') ?? mark;
      const meant = names.split(' ').flatMap((name) => concepts.get(name) ?? []);
      emoji.set(bare, [...(emoji.get(bare) ?? []), ...meant]);
    }
  return emoji;
}
