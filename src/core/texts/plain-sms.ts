import { septetCost } from './gsm-alphabet.js';
import { type SegmentOptions, segments } from './segments.js';

/** What a language's data allow to be replaced in its texts. */
export interface PlainPermission {
  /** Curly quotes, dashes, special spaces and the like by their plain kin. Changes no letter. */
  readonly typography: boolean;
  /** Letters that may stand for one another in this language, for example `{ ç: 'c', ê: 'e' }`. */
  readonly letters: Readonly<Record<string, string>>;
}

export interface PlainSms {
  readonly body: string;
  /** What was replaced by what, each pair once; empty when the text stayed as it was. */
  readonly replaced: readonly (readonly [from: string, to: string])[];
}

/** Signs that word processors make out of plain ones. None of them carries meaning a plain one loses. */
const TYPOGRAPHY: Readonly<Record<string, string>> = {
  '\u2018': "'",
  '\u2019': "'",
  '\u201a': "'",
  '\u201b': "'",
  '\u02bc': "'",
  '\u2032': "'",
  '\u0060': "'",
  '\u00b4': "'",
  '\u201c': '"',
  '\u201d': '"',
  '\u201e': '"',
  '\u201f': '"',
  '\u2033': '"',
  '\u00ab': '"',
  '\u00bb': '"',
  '\u2039': "'",
  '\u203a': "'",
  '\u2010': '-',
  '\u2011': '-',
  '\u2012': '-',
  '\u2013': '-',
  '\u2014': '-',
  '\u2015': '-',
  '\u2212': '-',
  '\u2022': '-',
  '\u00b7': '-',
  '\u2026': '...',
  '\u00a0': ' ',
  '\u2002': ' ',
  '\u2003': ' ',
  '\u2007': ' ',
  '\u2009': ' ',
  '\u200a': ' ',
  '\u202f': ' ',
  '\u3000': ' ',
  '\t': ' ',
  '\u2028': '\n',
  '\u2029': '\n',
  '\u00ad': '',
  '\u200b': '',
  '\u2060': '',
  '\ufeff': '',
};

/**
 * Replaces what would double a text's cost, as far as the language's data allow, and only if it makes the text take
 * fewer parts: a text that needs the wide alphabet anyway, or gains nothing, stays as it was written. Pure.
 *
 * @example toPlainSms('It’s Tuesday', { typography: true, letters: {} }).body // "It's Tuesday"
 */
export function toPlainSms(
  body: string,
  permission: PlainPermission,
  options: SegmentOptions = {},
): PlainSms {
  const asWritten = segments(body, options);
  if (asWritten.encoding === 'gsm-7') return { body, replaced: [] };
  const replaced = new Map<string, string>();
  let plain = '';
  for (const character of body.normalize('NFC')) {
    const stand = septetCost(character) === undefined ? standIn(character, permission) : undefined;
    if (stand !== undefined) replaced.set(character, stand);
    plain += stand ?? character;
  }
  const asPlain = segments(plain, options);
  const isCheaper =
    asPlain.parts.length < asWritten.parts.length ||
    (asPlain.encoding === 'gsm-7' && asPlain.parts.length === asWritten.parts.length);
  return isCheaper ? { body: plain, replaced: [...replaced] } : { body, replaced: [] };
}

function standIn(character: string, permission: PlainPermission): string | undefined {
  const letter = permission.letters[character];
  if (letter !== undefined) return letter;
  return permission.typography ? TYPOGRAPHY[character] : undefined;
}

/** The characters that keep a text out of the default alphabet, each once, in order of appearance. Pure. */
export function costlyCharacters(body: string): string[] {
  return [...new Set([...body].filter((character) => septetCost(character) === undefined))];
}
