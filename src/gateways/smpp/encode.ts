import { encodeSeptets } from '../../core/texts/gsm-alphabet.js';
import { encodeHeader, encodeUcs2 } from '../../core/texts/pdu/user-data.js';
import { type Segments, segments, wideSegments } from '../../core/texts/segments.js';
import type { OutboundText } from '../gateway.js';
import type { SmppSettings } from './settings.js';

/** The fields of one submit_sm. */
export type Submit = Readonly<Record<string, unknown>>;

const UDH_INDICATOR = 0x40;
const DEFAULT_ALPHABET = 0x00;
const UCS2 = 0x08;
/** A receipt for success and for failure alike. */
const RECEIPT = 0x01;

/**
 * A text as submit_sm fields, one a part, or one with a payload where the provider cuts texts itself. Texts go as
 * octets with their data_coding set, never as strings: what a library makes of a string is its own guess. `reference`
 * 0-255 tells the parts of one text from another's.
 */
export function submitsOf(text: OutboundText, settings: SmppSettings, reference: number): Submit[] {
  const cut = cutFor(text.body, settings);
  const common = {
    ...addressed('source', text.from ?? settings.from),
    ...addressed('dest', text.to),
    registered_delivery: settings.wantsReceipts ? RECEIPT : 0,
    ...(text.validForSeconds === undefined ? {} : { validity_period: relative(text.validForSeconds) }),
  };
  const data_coding = cut.encoding === 'ucs-2' ? UCS2 : DEFAULT_ALPHABET;
  const total = cut.parts.length;
  if (settings.longTexts === 'payload' && total > 1) {
    const message_payload = octetsOf(text.body, cut, settings);
    return [{ ...common, esm_class: 0, data_coding, short_message: Buffer.alloc(0), message_payload }];
  }
  return cut.parts.map((part, index) => {
    const place = total > 1 ? { ref: reference, number: index + 1, total } : undefined;
    const header = Buffer.from(encodeHeader(place, cut.shift));
    return {
      ...common,
      esm_class: header.length > 0 ? UDH_INDICATOR : 0,
      data_coding,
      short_message: Buffer.concat([header, octetsOf(part, cut, settings)]),
    };
  });
}

/** Providers whose default alphabet is Latin-1 get what Latin-1 lacks in the wide one. */
function cutFor(body: string, settings: SmppSettings): Segments {
  const cut = segments(body, { shifts: settings.alphabet === 'gsm' ? settings.shifts : [] });
  if (settings.alphabet === 'gsm' || cut.encoding === 'ucs-2' || isLatin1(body)) return cut;
  return wideSegments(body);
}

function isLatin1(body: string): boolean {
  return [...body].every((character) => (character.codePointAt(0) ?? 0) < 0x100);
}

/** One octet a septet (the provider packs them), or Latin-1, or UTF-16 big end first. */
function octetsOf(part: string, cut: Segments, settings: SmppSettings): Buffer {
  if (cut.encoding === 'ucs-2') return Buffer.from(encodeUcs2(part));
  if (settings.alphabet === 'latin-1') return Buffer.from(part, 'latin1');
  return Buffer.from(encodeSeptets(part, cut.shift) ?? []);
}

/** Type of number and plan (SMPP 3.4, sections 5.2.5 and 5.2.6): international, a sender's name, or unknown. */
function addressed(side: 'source' | 'dest', number: string): Record<string, unknown> {
  const field = side === 'source' ? 'source_addr' : 'destination_addr';
  if (/^\+\d+$/.test(number)) {
    return { [field]: number.slice(1), [`${side}_addr_ton`]: 1, [`${side}_addr_npi`]: 1 };
  }
  if (/^\d+$/.test(number)) {
    return { [field]: number, [`${side}_addr_ton`]: 0, [`${side}_addr_npi`]: 1 };
  }
  return { [field]: number, [`${side}_addr_ton`]: 5, [`${side}_addr_npi`]: 0 };
}

/** A relative time, `YYMMDDhhmmsstnnR` (section 7.1.1.2). */
function relative(seconds: number): string {
  const whole = Math.max(1, Math.floor(seconds));
  const two = (value: number) => String(value).padStart(2, '0');
  const days = Math.min(99, Math.floor(whole / 86_400));
  const hours = Math.floor(whole / 3_600) % 24;
  return `0000${two(days)}${two(hours)}${two(Math.floor(whole / 60) % 60)}${two(whole % 60)}000R`;
}
