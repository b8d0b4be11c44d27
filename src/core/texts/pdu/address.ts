import { decodeSeptets } from '../gsm-alphabet.js';
import { type OctetReader, PduFault, unpackSeptets } from './octets.js';

const INTERNATIONAL = 0x91;
const UNKNOWN = 0x81;
const ALPHANUMERIC = 0x50;
/** Digits beyond nine, 3GPP TS 23.040 section 9.1.2.3. */
const DIGITS = '0123456789*#abc';

/** An address field: length in digits, type of number, swapped digits (3GPP TS 23.040 section 9.1.2.5). */
export function encodeAddress(number: string): number[] {
  const digits = number.replace(/^\+/, '');
  if (!/^\d{1,20}$/.test(digits))
    throw new PduFault('a number must be 1 to 20 digits, with a plus sign or without');
  return [digits.length, number.startsWith('+') ? INTERNATIONAL : UNKNOWN, ...swapped(digits)];
}

/** Digits two an octet, the first in the low half; a lonely last one is filled with F. */
export function swapped(digits: string): number[] {
  const octets: number[] = [];
  for (let at = 0; at < digits.length; at += 2) {
    const low = Number(digits[at]);
    const high = at + 1 < digits.length ? Number(digits[at + 1]) : 0xf;
    octets.push((high << 4) | low);
  }
  return octets;
}

/** Reads an address: a number, with a plus sign when it is international, or a sender's name. */
export function readAddress(reader: OctetReader, what: string): string {
  const length = reader.octet(`${what}'s length`);
  const type = reader.octet(`${what}'s type`);
  const octets = reader.take(Math.ceil(length / 2), what);
  if ((type & 0x70) === ALPHANUMERIC) {
    return decodeSeptets(unpackSeptets(octets, Math.floor((length * 4) / 7)));
  }
  const digits = unswapped(octets).slice(0, length);
  return (type & 0x70) === 0x10 ? `+${digits}` : digits;
}

export function unswapped(octets: readonly number[]): string {
  let digits = '';
  for (const octet of octets) {
    digits += (DIGITS[octet & 0x0f] ?? '') + (DIGITS[octet >> 4] ?? '');
  }
  return digits;
}
