import { DEFAULT_SHIFT, type Shift, septetCost } from './gsm-alphabet.js';

export interface SegmentOptions {
  /** National tables this gateway carries, tried in this order after the default alphabet. Default: none. */
  readonly shifts?: readonly Shift[];
}

/** A text cut into the parts a network bills. */
export interface Segments {
  readonly encoding: 'gsm-7' | 'ucs-2';
  /** Tables of a `gsm-7` text. */
  readonly shift: Shift;
  /** Septets of the whole text, or UTF-16 units for `ucs-2`, headers not counted. */
  readonly units: number;
  /** Units one part of this text can hold. */
  readonly unitsPerPart: number;
  /** Joined, they are the text again. At least one, also for an empty text. */
  readonly parts: readonly string[];
}

/** Octets of user data in one short message, 3GPP TS 23.040 section 9.2.3.24. */
const OCTETS = 140;

/**
 * Cuts a text into parts the way 3GPP TS 23.038 and 23.040 allow (8-bit reference): 160 septets, 153 in parts; 70
 * units, 67 in parts; less where national tables must be named. Takes whichever permitted alphabet needs the fewest
 * parts. Never cuts inside a surrogate pair, a combining sequence or an extension pair. Pure.
 *
 * @example segments('x'.repeat(161)).parts.map((part) => part.length) // [153, 8]
 */
export function segments(body: string, options: SegmentOptions = {}): Segments {
  let best: Segments | undefined;
  for (const shift of [DEFAULT_SHIFT, ...(options.shifts ?? [])]) {
    const cut = inSeptets(body, shift);
    if (cut && (!best || cut.parts.length < best.parts.length)) best = cut;
    if (best?.parts.length === 1) return best;
  }
  const wide = wideSegments(body);
  return best && best.parts.length <= wide.parts.length ? best : wide;
}

/** Octets of the user data header: its length octet, the parts' element (5), and one of 3 for each national table. */
export function headerOctets(shift: Shift, isInParts: boolean): number {
  const elements = (isInParts ? 5 : 0) + (shift.locking === 0 ? 0 : 3) + (shift.single === 0 ? 0 : 3);
  return elements === 0 ? 0 : elements + 1;
}

/** Septets one part can hold beside its header, whose last octet is filled up to a whole septet. */
export function septetsPerPart(shift: Shift, isInParts: boolean): number {
  return Math.floor(((OCTETS - headerOctets(shift, isInParts)) * 8) / 7);
}

function inSeptets(body: string, shift: Shift): Segments | undefined {
  let units = 0;
  for (const character of body) {
    const cost = septetCost(character, shift);
    if (cost === undefined) return undefined;
    units += cost;
  }
  const whole = septetsPerPart(shift, false);
  if (units <= whole) return { encoding: 'gsm-7', shift, units, unitsPerPart: whole, parts: [body] };
  const unitsPerPart = septetsPerPart(shift, true);
  const cost = (text: string) => costOf(text, shift);
  return { encoding: 'gsm-7', shift, units, unitsPerPart, parts: packed(body, unitsPerPart, cost) };
}

function costOf(text: string, shift: Shift): number {
  let cost = 0;
  for (const character of text) cost += septetCost(character, shift) ?? 0;
  return cost;
}

/** Cuts a text into parts of the wide alphabet, for a network that carries none of the narrow ones. Pure. */
export function wideSegments(body: string): Segments {
  const units = body.length;
  const whole = OCTETS / 2;
  const common = { encoding: 'ucs-2', shift: DEFAULT_SHIFT, units } as const;
  if (units <= whole) return { ...common, unitsPerPart: whole, parts: [body] };
  const unitsPerPart = (OCTETS - headerOctets(DEFAULT_SHIFT, true)) / 2;
  return { ...common, unitsPerPart, parts: packed(body, unitsPerPart, (text) => text.length) };
}

/** Text in which every code unit is what a reader sees as one character. */
const SIMPLE = /^[\n\x20-\x7e\xa1-\xac\xae-\xff\u0391-\u03c9\u20ac]*$/;
const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Fills part after part with whole characters as a reader sees them. */
function packed(body: string, room: number, cost: (text: string) => number): string[] {
  const parts: string[] = [];
  let part = '';
  let used = 0;
  for (const atom of atoms(body, room, cost)) {
    const needed = cost(atom);
    if (used + needed > room) {
      parts.push(part);
      part = '';
      used = 0;
    }
    part += atom;
    used += needed;
  }
  parts.push(part);
  return parts;
}

/** Combining sequences; one too long for any part falls back to its code points. */
function* atoms(body: string, room: number, cost: (text: string) => number): Iterable<string> {
  if (SIMPLE.test(body)) {
    yield* body;
    return;
  }
  for (const { segment } of graphemes.segment(body)) {
    if (segment.length === 1 || cost(segment) <= room) yield segment;
    else yield* segment;
  }
}

/** What a text costs at this price a part, in the unit of the price. */
export function costOfText(body: string, pricePerPart: number, options: SegmentOptions = {}): number {
  return segments(body, options).parts.length * pricePerPart;
}
