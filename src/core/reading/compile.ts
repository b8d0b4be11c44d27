import type { ReadingData, SignRuleData, UrgencyRuleData } from './data.js';
import { type Concept, compileLanguage, type LanguagePack } from './lexicon.js';

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

/** Something in the data that cannot be used: where (language and key) and what is wrong with it. */
export interface DataFault {
  readonly language: string | null;
  readonly where: string;
  readonly what: string;
}

/**
 * Compiles the languages' data for `readText`. Faulty phrases are left out and reported through `onFault`, so that
 * one slip in a vocabulary never silences a whole language.
 */
export function compileLanguages(
  data: ReadingData,
  onFault: (fault: DataFault) => void = () => {},
): CompiledLanguages {
  const concepts = new Map<string, Concept>();
  for (const [name, { kind }] of Object.entries(data.concepts)) concepts.set(name, { name, kind });
  const packs = data.languages
    .slice(0, 30)
    .map((language, index) =>
      compileLanguage(language, index, concepts, (where, what) =>
        onFault({ language: language.code, where, what }),
      ),
    );
  const known = new Map<string, number>();
  for (const pack of packs)
    for (const word of [...pack.words.keys(), ...pack.common])
      known.set(word, (known.get(word) ?? 0) | (1 << pack.index));
  const emoji = new Map<string, Concept[]>();
  for (const [names, marks] of Object.entries(data.emoji))
    for (const mark of marks) {
      const bare = [...mark].find((unit) => unit !== '\ufe0f') ?? mark;
      const meant = names.split(' ').flatMap((name) => concepts.get(name) ?? []);
      emoji.set(bare, [...(emoji.get(bare) ?? []), ...meant]);
    }
  const rules = new Map<string, SignRuleData[]>();
  for (const rule of data.rules) {
    const group = rules.get(rule.when);
    if (group) group.push(rule);
    else rules.set(rule.when, [rule]);
  }
  const stopWords = new Set(packs.flatMap((pack) => [...pack.stopWords]));
  return { packs, concepts, known, stopWords, emoji, rules, urgency: data.urgency };
}
