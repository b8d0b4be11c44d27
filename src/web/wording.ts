/** One language of the staff pages. */
export interface Words {
  /** BCP 47 tag. */
  readonly code: string;
  /** The same with the country whose dates and numbers are meant: 24 hours, day before month. */
  readonly locale: string;
  /** The language's name in itself. */
  readonly name: string;
  readonly direction: 'ltr' | 'rtl';
  /** Otherwise every page says at its foot that its words are a draft. */
  readonly isReviewed: boolean;
  /**
   * The sentence under `key`, its `{placeholders}` filled. A key that no language has throws: tests check that
   * every key used in the pages stands in every language file.
   */
  say(key: string, values?: Readonly<Record<string, string | number>>): string;
  /** True when this language, or English behind it, has the key. */
  has(key: string): boolean;
}

export interface WordsFile {
  readonly code: string;
  readonly name: string;
  readonly direction: 'ltr' | 'rtl';
  readonly review: string;
  readonly words: Readonly<Record<string, string>>;
}

/** A language over its fallback: a sentence missing from `file` is shown in the fallback's words. */
export function createWords(file: WordsFile, fallback: WordsFile | null): Words {
  const find = (key: string) => file.words[key] ?? fallback?.words[key];
  return {
    code: file.code,
    locale: file.code === 'en' ? 'en-GB' : file.code,
    name: file.name,
    direction: file.direction,
    isReviewed: file.review === 'reviewed',
    has: (key) => find(key) !== undefined,
    say(key, values = {}) {
      const sentence = find(key);
      if (sentence === undefined) throw new Error(`The staff pages have no wording for "${key}".`);
      return sentence.replace(/\{(\w+)\}/g, (whole, name: string) =>
        Object.hasOwn(values, name) ? String(values[name]) : whole,
      );
    },
  };
}

/** The language of this code, or English. */
export function languageOf(languages: ReadonlyMap<string, Words>, code: string): Words {
  const words = languages.get(code) ?? languages.get('en');
  if (words === undefined) {
    throw new Error('The staff pages have no English wording: add flows/staff-languages/en.yaml.');
  }
  return words;
}

/** Every language over English, by code. */
export function wordsByCode(files: readonly WordsFile[]): ReadonlyMap<string, Words> {
  const english = files.find((file) => file.code === 'en') ?? null;
  return new Map(files.map((file) => [file.code, createWords(file, file === english ? null : english)]));
}
