import { LOCKING_TABLES, SINGLE_SHIFT_TABLES } from './gsm-national-tables.js';

/**
 * Which tables a text is written with: 3GPP TS 23.038 national language identifiers, 0 for the default alphabet and
 * the default extension table.
 */
export interface Shift {
  readonly locking: number;
  readonly single: number;
}

export const DEFAULT_SHIFT: Shift = { locking: 0, single: 0 };
export const ESCAPE = 0x1b;
/** Marks a septet without a character. */
const NONE = '\ufffd';

/** The GSM 7-bit default alphabet, 3GPP TS 23.038 section 6.2.1, in the order of the septets. */
const DEFAULT_ALPHABET =
  '@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞ\ufffdÆæßÉ' +
  ' !"#¤%&\'()*+,-./0123456789:;<=>?' +
  '¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§' +
  '¿abcdefghijklmnopqrstuvwxyzäöñüà';

/** The default extension table, section 6.2.1.1: what stands after an escape. */
const DEFAULT_EXTENSION: readonly (readonly [number, string])[] = [
  [0x0a, '\f'],
  [0x14, '^'],
  [0x28, '{}'],
  [0x2f, '\\'],
  [0x3c, '[~]'],
  [0x40, '|'],
  [0x65, '€'],
];

interface Tables {
  /** Septet to character, without and with an escape before it. */
  readonly base: string;
  readonly extension: ReadonlyMap<number, string>;
  /** Character to one septet, or to an escape and a septet. */
  readonly septets: ReadonlyMap<string, readonly number[]>;
}

const built = new Map<number, Tables>();

function tablesOf(shift: Shift): Tables {
  const key = shift.locking * 256 + shift.single;
  const known = built.get(key);
  if (known) return known;
  const tables = build(shift);
  built.set(key, tables);
  return tables;
}

function build(shift: Shift): Tables {
  const base = shift.locking === 0 ? DEFAULT_ALPHABET : LOCKING_TABLES[shift.locking];
  const runs = shift.single === 0 ? DEFAULT_EXTENSION : SINGLE_SHIFT_TABLES[shift.single];
  if (!base) throw new RangeError(`There is no locking shift table ${shift.locking} in 3GPP TS 23.038.`);
  if (!runs) throw new RangeError(`There is no single shift table ${shift.single} in 3GPP TS 23.038.`);
  const extension = new Map<number, string>();
  for (const [first, characters] of runs) {
    [...characters].forEach((character, index) => void extension.set(first + index, character));
  }
  const septets = new Map<string, readonly number[]>();
  for (const [septet, character] of extension) septets.set(character, [ESCAPE, septet]);
  [...base].forEach((character, septet) => {
    if (character !== NONE) septets.set(character, [septet]);
  });
  return { base, extension, septets };
}

/** Claims that both tables of this shift exist. */
export function isKnownShift(shift: Shift): boolean {
  return (
    (shift.locking === 0 || shift.locking in LOCKING_TABLES) &&
    (shift.single === 0 || shift.single in SINGLE_SHIFT_TABLES)
  );
}

/** How many septets one character takes (1 or 2); undefined when the tables lack it. Pure. */
export function septetCost(character: string, shift: Shift = DEFAULT_SHIFT): number | undefined {
  return tablesOf(shift).septets.get(character)?.length;
}

/**
 * A text as septets, one a number, escapes included; undefined when any character is not in the tables. Pure.
 *
 * @example encodeSeptets('a€') // [0x61, 0x1b, 0x65]
 */
export function encodeSeptets(text: string, shift: Shift = DEFAULT_SHIFT): number[] | undefined {
  const { septets } = tablesOf(shift);
  const out: number[] = [];
  for (const character of text) {
    const found = septets.get(character);
    if (!found) return undefined;
    out.push(...found);
  }
  return out;
}

/**
 * Septets as text. As TS 23.038 asks, an escape before a septet the extension lacks shows the septet's own character,
 * and a doubled or last escape shows a space. Never throws: what has no character shows as U+FFFD. Pure.
 */
export function decodeSeptets(septets: Iterable<number>, shift: Shift = DEFAULT_SHIFT): string {
  const { base, extension } = tablesOf(shift);
  let text = '';
  let isEscaped = false;
  for (const raw of septets) {
    const septet = raw & 0x7f;
    if (isEscaped) {
      text += septet === ESCAPE ? ' ' : (extension.get(septet) ?? base.charAt(septet));
      isEscaped = false;
    } else if (septet === ESCAPE) {
      isEscaped = true;
    } else {
      text += base.charAt(septet);
    }
  }
  return isEscaped ? `${text} ` : text;
}
