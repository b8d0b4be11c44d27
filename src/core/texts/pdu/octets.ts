/** A PDU that cannot be what it claims to be; the message says where and what was found. */
export class PduFault extends Error {
  constructor(words: string) {
    super(words);
    this.name = 'PduFault';
  }
}

/** Hexadecimal digits as octets. Throws PduFault on anything else. */
export function octetsOf(hex: string): number[] {
  const digits = hex.trim();
  if (digits.length % 2 !== 0 || !/^[0-9a-fA-F]*$/.test(digits)) {
    throw new PduFault(`expected pairs of hexadecimal digits, found ${digits.length} characters`);
  }
  const octets: number[] = [];
  for (let at = 0; at < digits.length; at += 2) octets.push(Number.parseInt(digits.slice(at, at + 2), 16));
  return octets;
}

export function hexOf(octets: Iterable<number>): string {
  return Array.from(octets, (octet) => octet.toString(16).padStart(2, '0'))
    .join('')
    .toUpperCase();
}

/** Walks through octets and says what was missing when they end too early. */
export class OctetReader {
  #at = 0;

  constructor(private readonly octets: readonly number[]) {}

  get left(): number {
    return this.octets.length - this.#at;
  }

  octet(what: string): number {
    const found = this.octets[this.#at];
    if (found === undefined) throw new PduFault(`the PDU ends before its ${what}`);
    this.#at += 1;
    return found;
  }

  take(count: number, what: string): number[] {
    if (count > this.left)
      throw new PduFault(`the PDU ends inside its ${what}: ${count} octets, ${this.left} left`);
    this.#at += count;
    return this.octets.slice(this.#at - count, this.#at);
  }

  rest(): number[] {
    return this.take(this.left, 'rest');
  }
}

/** Packs septets into octets, lowest bit first, after `fillBits` empty bits (3GPP TS 23.038 section 6.1.2). */
export function packSeptets(septets: readonly number[], fillBits = 0): number[] {
  const octets: number[] = [];
  let buffer = 0;
  let bits = fillBits;
  for (const septet of septets) {
    buffer |= (septet & 0x7f) << bits;
    bits += 7;
    while (bits >= 8) {
      octets.push(buffer & 0xff);
      buffer >>>= 8;
      bits -= 8;
    }
  }
  if (bits > 0) octets.push(buffer & 0xff);
  return octets;
}

/** The first `count` septets after `fillBits` bits; fewer when the octets end. */
export function unpackSeptets(octets: readonly number[], count: number, fillBits = 0): number[] {
  const septets: number[] = [];
  for (let index = 0; index < count; index += 1) {
    const bit = fillBits + index * 7;
    const low = octets[bit >> 3];
    if (low === undefined) break;
    const both = low | ((octets[(bit >> 3) + 1] ?? 0) << 8);
    septets.push((both >> (bit & 7)) & 0x7f);
  }
  return septets;
}

/** Empty bits between a header of so many octets and the first septet, which starts on a whole septet. */
export function fillBitsAfter(headerOctets: number): number {
  return (7 - ((headerOctets * 8) % 7)) % 7;
}
