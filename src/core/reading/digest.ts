import type {
  ConceptData,
  Direction,
  LanguageData,
  ReadingData,
  SignRuleData,
  UrgencyRuleData,
} from './data.js';
import { type Step, spellOut, stepsOf } from './expand.js';
import { foldPhrase } from './normalise.js';
import { isParted } from './tokens.js';
import { END_SYMBOL, FIRST_LEXEME, GAP_SYMBOL, NUMBER_SYMBOL, START_SYMBOL } from './trie.js';

/** A meaning as data: names of concepts, value of a number word, hours a phrase says. */
export type MeaningDigest = readonly [readonly string[], number | null, number | null];

export interface AffixDigest {
  readonly before: readonly string[];
  readonly after: readonly string[];
  readonly adds: readonly string[];
  readonly leaves: number;
}

/**
 * One language's vocabulary with its phrases folded, cut into words and spelled out: plain JSON, so that it can be kept
 * between starts. Symbol `n` is `lexemes[n - FIRST_LEXEME]`, a word or a pattern with stars; lower ones are in trie.ts.
 */
export interface LanguageDigest {
  readonly code: string;
  readonly negation: Direction;
  readonly sixHourClock: boolean;
  readonly onesFirst: boolean;
  readonly sounds: readonly (readonly [string, string])[];
  readonly affixes: readonly AffixDigest[];
  readonly lexemes: readonly string[];
  readonly meanings: readonly MeaningDigest[];
  /**
   * Phrases one after another: the place of the meaning, the length of the code that follows, the code. In it a
   * positive number is a symbol, 0 a gap, -k a choice of k options, each its length and its symbols.
   */
  readonly phrases: readonly number[];
  readonly common: readonly string[];
  readonly joiners: readonly number[];
  readonly yes: readonly string[];
  readonly no: readonly string[];
  readonly stopWords: readonly string[];
}

export interface ReadingDigest {
  readonly concepts: Readonly<Record<string, ConceptData>>;
  readonly rules: readonly SignRuleData[];
  readonly urgency: readonly UrgencyRuleData[];
  readonly emoji: Readonly<Record<string, readonly string[]>>;
  readonly languages: readonly LanguageDigest[];
}

/** Something in the data that cannot be used: where (language and key) and what is wrong with it. */
export interface DataFault {
  readonly language: string | null;
  readonly where: string;
  readonly what: string;
}

/**
 * Folds and spells out all vocabulary. Faulty phrases are left out and reported through `onFault`, so that one slip in
 * a vocabulary never silences a whole language.
 */
export function digestReading(
  data: ReadingData,
  onFault: (fault: DataFault) => void = () => {},
): ReadingDigest {
  const languages = data.languages.map((language) =>
    new Digester(language, data.concepts, (where, what) =>
      onFault({ language: language.code, where, what }),
    ).digest(),
  );
  return { concepts: data.concepts, rules: data.rules, urgency: data.urgency, emoji: data.emoji, languages };
}

class Digester {
  private readonly symbols = new Map<string, number>();
  private readonly meanings: MeaningDigest[] = [];
  private readonly phrases: number[] = [];
  /** A lone "$" is money, one behind words the end of a sentence. */
  private isInPhrase = false;

  constructor(
    private readonly data: LanguageData,
    private readonly concepts: Readonly<Record<string, ConceptData>>,
    private readonly fault: (where: string, what: string) => void,
  ) {}

  digest(): LanguageDigest {
    const { data } = this;
    for (const [key, phrases] of Object.entries(data.words))
      this.add(key, phrases, [this.named(key, key), null, null]);
    for (const [value, phrases] of Object.entries(data.numbers.words))
      this.add(`numbers ${value}`, phrases, [['number'], Number(value), null]);
    for (const [hours, phrases] of Object.entries(data.numbers.hours ?? {}))
      this.add(`hours ${hours}`, phrases, [['hours-said'], null, Number(hours)]);
    const joiners = (data.numbers.joiners ?? []).map((word) => this.symbolOf(foldPhrase(word)));
    return {
      code: data.code,
      negation: data.negation,
      sixHourClock: data.sixHourClock,
      onesFirst: data.numbers.onesFirst === true,
      sounds: data.sounds,
      affixes: data.affixes.map((affix) => ({
        before: this.spelled(affix.before),
        after: this.spelled(affix.after),
        adds: affix.adds ? this.named(affix.adds, 'affixes') : [],
        leaves: affix.leaves ?? 3,
      })),
      lexemes: [...this.symbols.keys()],
      meanings: this.meanings,
      phrases: this.phrases,
      common: [...new Set([...data.neverMisspelt, ...data.common].flatMap(wordsOf))],
      joiners,
      yes: data.yes.map(foldWhole),
      no: data.no.map(foldWhole),
      stopWords: data.stopWords.map(foldWhole),
    };
  }

  private add(where: string, phrases: readonly string[], meaning: MeaningDigest): void {
    const place = this.meanings.push(meaning) - 1;
    for (const phrase of phrases) {
      const ways = stepsOf(phrase, wordsOf);
      this.isInPhrase = phrase.length > 1;
      if ('fault' in ways) this.fault(where, `"${phrase}" has ${ways.fault}`);
      else
        for (const steps of ways) {
          const code = steps.flatMap((step) => this.codeOf(step));
          this.phrases.push(place, code.length, ...code);
        }
    }
  }

  private codeOf(step: Step): number[] {
    if (step.kind === 'gap') return [GAP_SYMBOL];
    if (step.kind === 'word') return [this.symbolOf(step.word)];
    const options = step.options.flatMap((option) => [
      option.length,
      ...option.map((word) => this.symbolOf(word)),
    ]);
    return [-step.options.length, ...options];
  }

  private symbolOf(word: string): number {
    if (word === '#') return NUMBER_SYMBOL;
    if (word === '^') return START_SYMBOL;
    if (word === '$' && this.isInPhrase) return END_SYMBOL;
    const known = this.symbols.get(word);
    if (known !== undefined) return known;
    const symbol = this.symbols.size + FIRST_LEXEME;
    this.symbols.set(word, symbol);
    return symbol;
  }

  private named(key: string, where: string): string[] {
    return key.split(' ').filter((name) => {
      if (this.concepts[name]) return true;
      this.fault(where, `no concept is called "${name}"`);
      return false;
    });
  }

  private spelled(patterns: readonly string[] | undefined): string[] {
    return (patterns ?? []).flatMap((pattern) => {
      const spellings = spellOut(pattern);
      if (!('fault' in spellings)) return spellings.map(foldPhrase);
      this.fault('affixes', `"${pattern}" has ${spellings.fault}`);
      return [];
    });
  }
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
