import type { DeliveryState } from '../delivery-order.js';
import type { TextPart } from '../join-parts.js';
import { readAddress } from './address.js';
import { OctetReader, octetsOf, PduFault } from './octets.js';
import { readTimestamp } from './time.js';
import { readUserData } from './user-data.js';

const HAS_HEADER = 0x40;

/** A text from a phone, as a modem holds it. */
export interface Delivered {
  readonly type: 'text';
  readonly from: string;
  /** The service centre's time with its offset; undefined when its digits are no time. */
  readonly at: string | undefined;
  readonly dcs: number;
  readonly body: string;
  readonly part?: TextPart;
}

/** What became of a text this modem sent. */
export interface StatusReport {
  readonly type: 'report';
  /** The reference the modem gave at AT+CMGS, 0-255. */
  readonly reference: number;
  readonly to: string;
  readonly at: string | undefined;
  readonly status: number;
  readonly state: DeliveryState;
}

/**
 * Reads what a modem received: an SMS-DELIVER or an SMS-STATUS-REPORT, the service centre's address in front (3GPP TS
 * 23.040 sections 9.2.2.1 and 9.2.2.3). Throws PduFault with the place where it stopped making sense. Pure.
 */
export function readReceived(hex: string): Delivered | StatusReport {
  const reader = new OctetReader(octetsOf(hex));
  reader.take(reader.octet('service centre'), 'service centre');
  const first = reader.octet('first octet');
  if ((first & 3) === 0) return readDeliver(reader, first);
  if ((first & 3) === 2) return readStatusReport(reader);
  throw new PduFault(`neither a text nor a status report: first octet ${first}`);
}

function readDeliver(reader: OctetReader, first: number): Delivered {
  const from = readAddress(reader, 'sender');
  reader.octet('protocol identifier');
  const dcs = reader.octet('data coding scheme');
  const at = readTimestamp(reader);
  const length = reader.octet('length of the text');
  const { text, header } = readUserData(reader.rest(), length, dcs, (first & HAS_HEADER) !== 0);
  return { type: 'text', from, at, dcs, body: text, ...(header.part ? { part: header.part } : {}) };
}

function readStatusReport(reader: OctetReader): StatusReport {
  const reference = reader.octet('message reference');
  const to = readAddress(reader, 'receiver');
  readTimestamp(reader);
  const at = readTimestamp(reader);
  const status = reader.octet('status');
  return { type: 'report', reference, to, at, status, state: stateOfStatus(status) };
}

/**
 * TP-Status (section 9.2.3.15): 0x00-0x1F done, 0x20-0x3F still trying, 0x40-0x5F given up, 0x60-0x7F given up for now.
 * 0x01 only says that the text was forwarded and nobody knows whether it arrived; 0x46 that its time had passed.
 */
export function stateOfStatus(status: number): DeliveryState {
  if (status === 0x01) return 'sent';
  if (status === 0x46) return 'expired';
  if (status <= 0x1f) return 'delivered';
  if (status <= 0x3f) return 'sent';
  if (status <= 0x7f) return 'failed';
  return 'unknown';
}
