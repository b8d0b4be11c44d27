import { DEFAULT_SHIFT, decodeSeptets, encodeSeptets, isKnownShift, type Shift } from '../gsm-alphabet.js';
import type { TextPart } from '../join-parts.js';
import { fillBitsAfter, PduFault, packSeptets, unpackSeptets } from './octets.js';

/** What a data coding scheme says of the text (3GPP TS 23.038 section 4). */
export type Coding = 'gsm-7' | 'octets' | 'ucs-2' | 'compressed';

export function codingOf(dcs: number): Coding {
  const group = dcs >> 4;
  if (group < 8) {
    if (dcs & 0x20) return 'compressed';
    return alphabetOf((dcs >> 2) & 3);
  }
  if (group === 0xe) return 'ucs-2';
  if (group === 0xf) return dcs & 0x04 ? 'octets' : 'gsm-7';
  return 'gsm-7';
}

function alphabetOf(bits: number): Coding {
  if (bits === 1) return 'octets';
  return bits === 2 ? 'ucs-2' : 'gsm-7';
}

/** What a user data header says, as far as it matters for reading the text. */
export interface Header {
  readonly part?: TextPart;
  readonly shift: Shift;
}

const CONCATENATED_8 = 0x00;
const CONCATENATED_16 = 0x08;
const SINGLE_SHIFT = 0x24;
const LOCKING_SHIFT = 0x25;

/** Reads the elements of a header (without its length octet); those not known are passed over. Never throws. */
export function readHeader(octets: readonly number[]): Header {
  let part: TextPart | undefined;
  let locking = 0;
  let single = 0;
  for (let at = 0; at + 1 < octets.length; ) {
    const id = octets[at] ?? 0;
    const length = octets[at + 1] ?? 0;
    const data = octets.slice(at + 2, at + 2 + length);
    const [one = 0, two = 0, three = 0, four = 0] = data;
    if (id === CONCATENATED_8 && data.length === 3) part = { ref: one, total: two, number: three };
    if (id === CONCATENATED_16 && data.length === 4)
      part = { ref: one * 256 + two, total: three, number: four };
    if (id === SINGLE_SHIFT && data.length === 1) single = one;
    if (id === LOCKING_SHIFT && data.length === 1) locking = one;
    at += 2 + length;
  }
  const isReal = part && part.total > 1 && part.number >= 1 && part.number <= part.total;
  const shift = isKnownShift({ locking, single }) ? { locking, single } : DEFAULT_SHIFT;
  return { shift, ...(part && isReal ? { part } : {}) };
}

/** The header of one part, its length octet first; empty when neither parts nor national tables need one. */
export function encodeHeader(part: TextPart | undefined, shift: Shift): number[] {
  const elements: number[] = [];
  if (part) elements.push(CONCATENATED_8, 3, part.ref & 0xff, part.total, part.number);
  if (shift.single !== 0) elements.push(SINGLE_SHIFT, 1, shift.single);
  if (shift.locking !== 0) elements.push(LOCKING_SHIFT, 1, shift.locking);
  return elements.length === 0 ? [] : [elements.length, ...elements];
}

export interface UserData {
  readonly text: string;
  readonly header: Header;
}

/**
 * Reads TP-User-Data. `length` is TP-UDL: septets for the 7-bit alphabet, octets otherwise. Data that is not text is
 * read as Latin-1, so that it is at least seen. Throws PduFault when compressed or cut short.
 */
export function readUserData(
  octets: readonly number[],
  length: number,
  dcs: number,
  hasHeader: boolean,
): UserData {
  const coding = codingOf(dcs);
  if (coding === 'compressed') throw new PduFault('the text is compressed, which nobody reads');
  const headerLength = hasHeader ? (octets[0] ?? 0) + 1 : 0;
  const header = readHeader(octets.slice(1, headerLength));
  const wanted = coding === 'gsm-7' ? Math.ceil((length * 7) / 8) : length;
  if (octets.length < wanted) throw new PduFault(`the text has ${octets.length} octets of ${wanted}`);
  if (coding === 'gsm-7') {
    const fill = hasHeader ? fillBitsAfter(headerLength) : 0;
    const headerSeptets = Math.ceil((headerLength * 8) / 7);
    const septets = unpackSeptets(octets.slice(headerLength), Math.max(0, length - headerSeptets), fill);
    return { text: decodeSeptets(septets, header.shift), header };
  }
  const data = octets.slice(headerLength, length);
  return { text: coding === 'ucs-2' ? decodeUcs2(data) : String.fromCharCode(...data), header };
}

/** One part's user data: data coding scheme, TP-UDL and octets, header included. */
export function encodeUserData(
  text: string,
  encoding: 'gsm-7' | 'ucs-2',
  shift: Shift,
  part?: TextPart,
): { readonly dcs: number; readonly length: number; readonly octets: readonly number[] } {
  const header = encodeHeader(part, shift);
  if (encoding === 'ucs-2') {
    const octets = [...header, ...encodeUcs2(text)];
    return { dcs: 0x08, length: octets.length, octets };
  }
  const septets = encodeSeptets(text, shift);
  if (!septets) throw new PduFault('the text has a character outside its alphabet');
  const octets = [...header, ...packSeptets(septets, header.length === 0 ? 0 : fillBitsAfter(header.length))];
  return { dcs: 0x00, length: Math.ceil((header.length * 8) / 7) + septets.length, octets };
}

/** UTF-16, big end first; pairs of surrogates travel as they are, which every phone made since reads. */
export function encodeUcs2(text: string): number[] {
  const octets: number[] = [];
  for (let at = 0; at < text.length; at += 1) {
    const unit = text.charCodeAt(at);
    octets.push(unit >> 8, unit & 0xff);
  }
  return octets;
}

export function decodeUcs2(octets: readonly number[]): string {
  let text = '';
  for (let at = 0; at + 1 < octets.length; at += 2) {
    text += String.fromCharCode(((octets[at] ?? 0) << 8) | (octets[at + 1] ?? 0));
  }
  return text;
}
