import { createHash } from 'node:crypto';
import { type Delivered, readReceived, type StatusReport } from '../../core/texts/pdu/deliver.js';
import type { InboundSink, InboundText } from '../gateway.js';
import type { Channel } from './channel.js';

/** What the modem's memory and announcements are turned into. */
export interface Intake {
  readonly sink: InboundSink;
  /** The SIM's own number. */
  readonly number: string;
  report(report: StatusReport, raw: string): Promise<void>;
}

/** The modem has stopped answering. */
export class ModemSilent extends Error {}

interface Entry {
  readonly index: number;
  readonly pdu: string;
}

/** Texts on their way out that someone left in the memory are not ours to read. */
const RECEIVED = new Set(['0', '1']);

/**
 * Takes everything received out of the modem's memory: each text is stored first and deleted from the modem only then,
 * so that a crash between the two makes a repeat and not a loss.
 */
export async function emptyMemory(channel: Channel, intake: Intake): Promise<void> {
  const listed = await channel.ask('AT+CMGL=4', 30_000);
  if (listed.kind === 'silent') throw new ModemSilent();
  if (listed.kind !== 'ok') return;
  for (const entry of entriesOf(listed.lines)) {
    await takeIn(entry.pdu, intake);
    await channel.ask(`AT+CMGD=${entry.index}`, 10_000);
  }
}

/** Takes one announced entry, which may lie in a memory of its own (reports in `SR`). */
export async function takeOne(channel: Channel, intake: Intake, index: number): Promise<void> {
  const read = await channel.ask(`AT+CMGR=${index}`, 10_000);
  if (read.kind !== 'ok') return;
  const pdu = read.lines.find((line) => /^[0-9A-Fa-f]+$/.test(line));
  if (pdu === undefined) return;
  await takeIn(pdu, intake);
  await channel.ask(`AT+CMGD=${index}`, 10_000);
}

/** Reads a PDU and hands it on; what cannot be read is kept for a person. Rejects only when it could not be stored. */
export async function takeIn(pdu: string, intake: Intake): Promise<void> {
  let read: Delivered | StatusReport;
  try {
    read = readReceived(pdu);
  } catch (error) {
    const words = error instanceof Error ? error.message : 'not understood';
    return intake.sink.unreadable(pdu, words);
  }
  if (read.type === 'report') return intake.report(read, pdu);
  return intake.sink.text(textOf(read, pdu, intake.number));
}

/** A PDU carries the second it was sent, so its digest names it: the same text read twice is the same. */
function textOf(read: Delivered, pdu: string, number: string): InboundText {
  const digest = createHash('sha256').update(pdu.toUpperCase()).digest('hex').slice(0, 32);
  return {
    providerId: `modem-${digest}`,
    from: read.from,
    to: number,
    body: read.body,
    ...(read.at === undefined ? {} : { at: read.at }),
    ...(read.part === undefined ? {} : { part: read.part }),
    raw: pdu,
  };
}

/** `+CMGL: 3,0,,24` and its PDU on the next line. */
function entriesOf(lines: readonly string[]): Entry[] {
  const entries: Entry[] = [];
  for (const [at, line] of lines.entries()) {
    const head = /^\+CMGL:\s*(\d+)\s*,\s*(\d)/.exec(line);
    const pdu = lines[at + 1];
    if (!head || pdu === undefined || !/^[0-9A-Fa-f]+$/.test(pdu)) continue;
    if (RECEIVED.has(head[2] ?? '')) entries.push({ index: Number(head[1]), pdu });
  }
  return entries;
}
