/** A text folded for look-up, with the way back: unit `i` of `text` came from `starts[i]`..`ends[i]`. */
export interface Folded {
  readonly text: string;
  readonly starts: readonly number[];
  readonly ends: readonly number[];
}

/** First code point of the decimal digits of the scripts that phones here can type. */
const DIGIT_ZEROS = [0x0660, 0x06f0, 0x0966, 0x09e6, 0x0a66, 0x0ae6, 0x0be6, 0x0c66, 0x0ce6, 0x0d66, 0xff10];

/** Letters families and keypads use for one another, and typographic marks, as one form each. */
const ONE_FORM = new Map<number, string>(
  Object.entries({
    // Arabic: hamza carriers, alif maqsura, ta marbuta, Persian and Urdu keyboard forms.
    أ: 'ا',
    إ: 'ا',
    آ: 'ا',
    ٱ: 'ا',
    ؤ: 'و',
    ئ: 'ي',
    ى: 'ي',
    ی: 'ي',
    ة: 'ه',
    ۀ: 'ه',
    ہ: 'ه',
    ھ: 'ه',
    ک: 'ك',
    ـ: '',
    // Indic: nukta dropped, chandrabindu as anusvara (Bengali: dropped), long vocalic forms kept.
    '\u093c': '',
    '\u09bc': '',
    '\u0901': '\u0902',
    '\u0981': '',
    '\u09ce': '\u09a4',
    // Latin letters that no decomposition reaches.
    ß: 'ss',
    æ: 'ae',
    œ: 'oe',
    ø: 'o',
    ł: 'l',
    đ: 'd',
    ı: 'i',
    // Marks.
    '‘': "'",
    '’': "'",
    '‛': "'",
    ʼ: "'",
    ʻ: "'",
    '`': "'",
    '´': "'",
    '“': '"',
    '”': '"',
    '„': '"',
    '«': '"',
    '»': '"',
    '–': '-',
    '—': '-',
    '‐': '-',
    '‑': '-',
    '−': '-',
    '…': '.',
    '؟': '?',
    '،': ',',
    '؛': ';',
    '।': '.',
    '॥': '.',
    '።': '.',
    '፣': ',',
    '¿': ' ',
    '¡': ' ',
    // Joiners, variation selectors, byte-order mark.
    '\u200b': '',
    '\u200c': '',
    '\u200d': '',
    '\u200e': '',
    '\u200f': '',
    '\u2060': '',
    '\ufe0e': '',
    '\ufe0f': '',
    '\ufeff': '',
    '\u00ad': '',
  }).map(([from, to]) => [from.codePointAt(0) ?? 0, to]),
);

const folds = new Map<number, string>();

function foldCodePoint(code: number): string {
  const known = ONE_FORM.get(code);
  if (known !== undefined) return known;
  for (const zero of DIGIT_ZEROS) if (code >= zero && code <= zero + 9) return String(code - zero);
  if (code >= 0x1f3fb && code <= 0x1f3ff) return '';
  if (code >= 0xd800 && code <= 0xdfff) return ' ';
  let out = '';
  for (const part of String.fromCodePoint(code).normalize('NFKD').toLowerCase()) {
    const unit = part.codePointAt(0) ?? 0;
    const again = ONE_FORM.get(unit);
    if (again !== undefined) out += again;
    else if (isDroppedMark(unit)) continue;
    else out += part;
  }
  return out;
}

/** Accents of Latin, Greek and Cyrillic and the vowel marks of Arabic; never the vowel signs of Indic scripts. */
function isDroppedMark(code: number): boolean {
  return (
    (code >= 0x0300 && code <= 0x036f) ||
    (code >= 0x0610 && code <= 0x061a) ||
    (code >= 0x064b && code <= 0x065f) ||
    code === 0x0670 ||
    (code >= 0x06d6 && code <= 0x06ed)
  );
}

const isVirama = (unit: number): boolean => unit === 0x094d || unit === 0x09cd;
const isIndicNasal = (unit: number): boolean =>
  unit === 0x0919 || unit === 0x091e || unit === 0x0923 || unit === 0x0928 || unit === 0x092e;
const isDevanagariConsonant = (unit: number): boolean => unit >= 0x0915 && unit <= 0x0939;

/**
 * Folds a text so that spellings of one word look alike: compatibility forms, case, accents, Arabic and Indic
 * letter variants, native digits, and letters held down (three or more become two). Every unit of the result
 * knows the stretch of the original it came from.
 */
export function fold(original: string): Folded {
  const out: string[] = [];
  const starts: number[] = [];
  const ends: number[] = [];
  let last = -1;
  let beforeLast = -1;
  for (let at = 0; at < original.length; ) {
    const code = original.codePointAt(at) ?? 32;
    const next = at + (code > 0xffff ? 2 : 1);
    let units: string;
    if (code < 0x80)
      units =
        code >= 65 && code <= 90
          ? String.fromCharCode(code + 32)
          : (ONE_FORM.get(code) ?? original[at] ?? ' ');
    else {
      const cached = folds.get(code);
      if (cached === undefined) {
        units = foldCodePoint(code);
        if (folds.size < 20_000) folds.set(code, units);
      } else units = cached;
    }
    for (let k = 0; k < units.length; k += 1) {
      const unit = units.charCodeAt(k);
      if (unit === last && unit === beforeLast && !(unit >= 48 && unit <= 57) && unit !== 46) {
        if (ends.length > 0) ends[ends.length - 1] = next;
        continue;
      }
      // A nasal written as a half letter before a consonant is the same sound as the dot above.
      if (isDevanagariConsonant(unit) && isVirama(last) && isIndicNasal(beforeLast)) {
        out.length -= 2;
        out.push('\u0902');
        const endOfNasal = ends.pop() ?? next;
        starts.pop();
        ends[ends.length - 1] = endOfNasal;
      }
      out.push(units[k] ?? '');
      starts.push(at);
      ends.push(next);
      beforeLast = last;
      last = unit;
    }
    if (units.length === 0 && ends.length > 0) ends[ends.length - 1] = next;
    at = next;
  }
  return { text: out.join(''), starts, ends };
}

/** Plain lower-case words fold to themselves; three of a letter in a row do not. */
const PLAIN = /^[a-z #*'-]*$/;
const THREE_ALIKE = /([a-z])\1\1/;

/** Folds one word or phrase of the vocabulary; the same folding as for texts, without the way back. */
export function foldPhrase(phrase: string): string {
  return PLAIN.test(phrase) && !THREE_ALIKE.test(phrase) ? phrase : fold(phrase).text;
}
