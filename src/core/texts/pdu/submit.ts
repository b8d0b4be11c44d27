import { type SegmentOptions, segments } from '../segments.js';
import { encodeAddress, readAddress } from './address.js';
import { hexOf, OctetReader, octetsOf, PduFault } from './octets.js';
import { validityOctet } from './time.js';
import { encodeUserData, readUserData, type UserData } from './user-data.js';

export interface SubmitWanted {
  /** With the plus sign for an international number. */
  readonly to: string;
  readonly body: string;
  /** 0-255, the same for all parts; should differ from text to text to one phone. */
  readonly reference: number;
  readonly wantsReport: boolean;
  readonly validForSeconds?: number;
  readonly alphabets?: SegmentOptions;
}

/** One SMS-SUBMIT for a modem in PDU mode. */
export interface SubmitPdu {
  readonly hex: string;
  /** What AT+CMGS wants: octets without the service centre's address. */
  readonly length: number;
}

const MTI_SUBMIT = 0x01;
const RELATIVE_VALIDITY = 0x10;
const REPORT = 0x20;
const HAS_HEADER = 0x40;

/**
 * A text as SMS-SUBMIT PDUs (3GPP TS 23.040 section 9.2.2.2), one a part, through the SIM's own service centre.
 * Throws PduFault when the number is none or the text needs more than 255 parts. Pure.
 */
export function encodeSubmit(wanted: SubmitWanted): SubmitPdu[] {
  const cut = segments(wanted.body, wanted.alphabets);
  const total = cut.parts.length;
  if (total > 255) throw new PduFault(`the text needs ${total} parts; at most 255 can be told apart`);
  return cut.parts.map((text, index) => {
    const part = total > 1 ? { ref: wanted.reference & 0xff, number: index + 1, total } : undefined;
    const data = encodeUserData(text, cut.encoding, cut.shift, part);
    const hasHeader =
      data.octets.length > 0 && (part !== undefined || cut.shift.locking + cut.shift.single > 0);
    const validity = wanted.validForSeconds;
    const first =
      MTI_SUBMIT |
      (validity === undefined ? 0 : RELATIVE_VALIDITY) |
      (wanted.wantsReport ? REPORT : 0) |
      (hasHeader ? HAS_HEADER : 0);
    const octets = [
      first,
      /* The modem puts its own message reference here. */
      0x00,
      ...encodeAddress(wanted.to),
      0x00,
      data.dcs,
      ...(validity === undefined ? [] : [validityOctet(validity)]),
      data.length,
      ...data.octets,
    ];
    return { hex: hexOf([0x00, ...octets]), length: octets.length };
  });
}

export interface SubmitRead extends UserData {
  readonly to: string;
  readonly wantsReport: boolean;
  readonly dcs: number;
  /** TP-UDL and the user data as they stand. */
  readonly length: number;
  readonly octets: readonly number[];
}

/** Reads an SMS-SUBMIT, as a scripted modem must. Throws PduFault. Pure. */
export function readSubmit(hex: string): SubmitRead {
  const reader = new OctetReader(octetsOf(hex));
  reader.take(reader.octet('service centre'), 'service centre');
  const first = reader.octet('first octet');
  if ((first & 3) !== MTI_SUBMIT) throw new PduFault(`not an SMS-SUBMIT: first octet ${first}`);
  reader.octet('message reference');
  const to = readAddress(reader, 'receiver');
  reader.octet('protocol identifier');
  const dcs = reader.octet('data coding scheme');
  const validityFormat = (first >> 3) & 3;
  reader.take(validityFormat === 0 ? 0 : validityFormat === 2 ? 1 : 7, 'validity period');
  const length = reader.octet('length of the text');
  const octets = reader.rest();
  const data = readUserData(octets, length, dcs, (first & HAS_HEADER) !== 0);
  return { to, wantsReport: (first & REPORT) !== 0, dcs, length, octets, ...data };
}
