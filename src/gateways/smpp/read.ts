import { decodeSeptets } from '../../core/texts/gsm-alphabet.js';
import type { TextPart } from '../../core/texts/join-parts.js';
import { codingOf, decodeUcs2, type Header, readHeader } from '../../core/texts/pdu/user-data.js';
import type { DeliveryReport, InboundText } from '../gateway.js';
import type { SmppSettings } from './settings.js';
import { stateOfNumber, stateOfWord } from './status.js';

/** The fields of a deliver_sm, with the text's octets as they came. */
export type Fields = Readonly<Record<string, unknown>>;

export type Deliver =
  | { readonly type: 'text'; readonly text: InboundText }
  | { readonly type: 'report'; readonly report: DeliveryReport };

const UDH_INDICATOR = 0x40;
/** Message type bits of esm_class: receipts (0x04), and notices on the way (0x20). */
const RECEIPT_BITS = 0x24;

/**
 * Reads a deliver_sm: a family's text, or a delivery receipt. `id` names the delivery, since SMPP gives texts from
 * phones none. Throws when neither can be made of it.
 */
export function readDeliver(pdu: Fields, settings: SmppSettings, id: string): Deliver {
  const esmClass = number(pdu.esm_class);
  const octets = textOctets(pdu);
  const raw = rawOf(pdu, octets);
  const hasHeader = (esmClass & UDH_INDICATOR) !== 0;
  const headerLength = hasHeader ? Math.min(octets.length, (octets[0] ?? 0) + 1) : 0;
  const header = readHeader([...octets.subarray(1, headerLength)]);
  const body = bodyOf(octets.subarray(headerLength), number(pdu.data_coding), header, settings);
  if ((esmClass & RECEIPT_BITS) !== 0) return { type: 'report', report: receipt(pdu, body, settings, raw) };
  const part = header.part ?? sarPart(pdu);
  const text = {
    providerId: id,
    from: addressOf(pdu.source_addr, pdu.source_addr_ton, settings.sendersLackPlus),
    to: addressOf(pdu.destination_addr, pdu.dest_addr_ton, false),
    body,
    ...(part === undefined ? {} : { part }),
    raw,
  };
  return { type: 'text', text };
}

function textOctets(pdu: Fields): Buffer {
  const short = pdu.short_message;
  const payload = pdu.message_payload;
  if (Buffer.isBuffer(payload) && payload.length > 0) return payload;
  return Buffer.isBuffer(short) ? short : Buffer.alloc(0);
}

function bodyOf(octets: Buffer, dataCoding: number, header: Header, settings: SmppSettings): string {
  if (dataCoding === 0 && settings.alphabet === 'gsm') return decodeSeptets(octets, header.shift);
  /* SMPP's own values, section 5.2.19: 1 IA5 (ASCII), 3 Latin-1, 2 and 4 octets. */
  if (dataCoding <= 4) return octets.toString('latin1');
  const coding = codingOf(dataCoding);
  if (coding === 'ucs-2') return decodeUcs2([...octets]);
  return coding === 'gsm-7' ? decodeSeptets(octets, header.shift) : octets.toString('latin1');
}

function sarPart(pdu: Fields): TextPart | undefined {
  const [ref, total, place] = [pdu.sar_msg_ref_num, pdu.sar_total_segments, pdu.sar_segment_seqnum];
  if (typeof ref !== 'number' || typeof total !== 'number' || typeof place !== 'number') return undefined;
  return total > 1 && place >= 1 && place <= total ? { ref, number: place, total } : undefined;
}

/** A receipt by its optional fields where it has them, otherwise by its text (SMPP 3.4, appendix B). */
function receipt(pdu: Fields, body: string, settings: SmppSettings, raw: string): DeliveryReport {
  const id = string(pdu.receipted_message_id) ?? /\bid:\s*(\S+)/i.exec(body)?.[1];
  if (!id) throw new Error('a receipt that names no text');
  const word = /\bstat:\s*(\w+)/i.exec(body)?.[1];
  const code = /\berr:\s*(\w+)/i.exec(body)?.[1];
  const at = /\bdone date:\s*(\d{10,12})/i.exec(body)?.[1];
  const state =
    typeof pdu.message_state === 'number' ? stateOfNumber(pdu.message_state) : stateOfWord(word ?? '');
  return {
    providerId: receiptId(id, settings),
    state,
    ...(code === undefined || /^0+$/.test(code) ? {} : { code }),
    ...(at === undefined ? {} : dated(at)),
    raw,
  };
}

/** `YYMMDDhhmm[ss]` without a zone: kept only when it is a time, and read as UTC, which it often is. */
function dated(digits: string): { at?: string } {
  const [year, month, day, hour, minute, second] = digits.match(/../g) ?? [];
  const iso = `20${year}-${month}-${day}T${hour}:${minute}:${second ?? '00'}Z`;
  return Number.isNaN(Date.parse(iso)) ? {} : { at: iso };
}

/** The id in a receipt, written as the id in the answer to the submit was kept. */
export function receiptId(id: string, settings: SmppSettings): string {
  const trimmed = id.trim();
  if (settings.receiptIds === 'submit-decimal-receipt-hex') return decimal(trimmed, 16);
  if (settings.receiptIds === 'submit-hex-receipt-decimal') return decimal(trimmed, 10);
  return trimmed;
}

/** The id in the answer to a submit; hexadecimal ones are kept in decimal when receipts will come so. */
export function submitId(id: string, settings: SmppSettings): string {
  const trimmed = id.trim();
  if (settings.receiptIds === 'submit-hex-receipt-decimal') return decimal(trimmed, 16);
  if (settings.receiptIds === 'submit-decimal-receipt-hex') return decimal(trimmed, 10);
  return trimmed;
}

/** A number without leading zeros; an id that is no number stays as it is. */
function decimal(id: string, base: 10 | 16): string {
  const isNumber = base === 16 ? /^[0-9a-f]+$/i.test(id) : /^\d+$/.test(id);
  return isNumber ? BigInt(base === 16 ? `0x${id}` : id).toString() : id;
}

function addressOf(address: unknown, type: unknown, lacksPlus: boolean): string {
  const text = string(address) ?? '';
  const isInternational = type === 1 || (lacksPlus && type === 0);
  return isInternational && /^[1-9]\d{6,14}$/.test(text) ? `+${text}` : text;
}

function rawOf(pdu: Fields, octets: Buffer): string {
  const { source_addr, destination_addr, esm_class, data_coding, receipted_message_id, message_state } = pdu;
  return JSON.stringify({
    source_addr,
    destination_addr,
    esm_class,
    data_coding,
    receipted_message_id,
    message_state,
    octets: octets.toString('hex'),
  });
}

function string(value: unknown): string | undefined {
  return typeof value === 'string' && value !== '' ? value : undefined;
}

function number(value: unknown): number {
  return typeof value === 'number' ? value : 0;
}
