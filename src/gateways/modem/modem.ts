import { randomInt } from 'node:crypto';
import { decodeSeptets } from '../../core/texts/gsm-alphabet.js';
import type { StatusReport } from '../../core/texts/pdu/deliver.js';
import { octetsOf, PduFault, unpackSeptets } from '../../core/texts/pdu/octets.js';
import { encodeSubmit, type SubmitPdu } from '../../core/texts/pdu/submit.js';
import { decodeUcs2 } from '../../core/texts/pdu/user-data.js';
import type { Gateway, InboundSink, OutboundText, SendResult, Surroundings } from '../gateway.js';
import { describeKind } from '../kind.js';
import { PartsSent } from '../parts.js';
import type { Channel } from './channel.js';
import { reasonOfCms } from './codes.js';
import { ModemLine } from './line.js';
import { emptyMemory, type Intake, ModemSilent, takeIn, takeOne } from './memory.js';
import { References } from './references.js';
import { type ModemSettings, SETTINGS } from './settings.js';

type NotTaken = Exclude<SendResult, { kind: 'accepted' }>;

/** A GSM modem with a SIM on a serial port, in PDU mode: works with no internet at all. */
export class ModemGateway implements Gateway {
  readonly kind = 'modem';
  readonly balance?: () => Promise<{ amount: number; unit: string }>;
  #line: ModemLine | undefined;
  #sink: InboundSink | undefined;
  #isClosed = false;
  #reference = randomInt(256);
  #look: NodeJS.Timeout | undefined;
  #looking: Promise<void> = Promise.resolve();
  #told: ((answer: string) => void) | undefined;
  /** What the modem handed through instead of keeping it: ours to keep until it is stored. */
  readonly #passedThrough: string[] = [];
  readonly #parts = new PartsSent();
  readonly #references: References;

  constructor(
    readonly name: string,
    private readonly settings: ModemSettings,
    private readonly around: Surroundings,
  ) {
    this.#references = new References(settings.referencesFile, around.wallNow, around.note);
    const { balanceCode } = settings;
    if (balanceCode !== undefined) this.balance = () => this.#balance(balanceCode);
  }

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#isClosed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    const channel = await this.#open().ready(10_000);
    if (!channel) return this.#notReady();
    this.#reference = (this.#reference + 1) % 256;
    try {
      const pdus = encodeSubmit({
        to: text.to,
        body: text.body,
        reference: this.#reference,
        wantsReport: this.settings.wantsReceipts,
        ...(text.validForSeconds === undefined ? {} : { validForSeconds: text.validForSeconds }),
        alphabets: { shifts: this.settings.shifts },
      });
      return await this.#submitAll(channel, pdus, text.to);
    } catch (error) {
      if (!(error instanceof PduFault)) throw error;
      const reason = /parts/.test(error.message) ? 'too-long' : 'wrong-number';
      return { kind: 'refused', reason, words: error.message };
    }
  }

  async listen(sink: InboundSink): Promise<() => Promise<void>> {
    this.#sink = sink;
    this.#open();
    clearInterval(this.#look);
    this.#look = setInterval(() => this.#lookThrough(), this.settings.lookEverySeconds * 1_000);
    this.#lookThrough();
    return async () => {
      this.#sink = undefined;
      clearInterval(this.#look);
      await this.#looking;
    };
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    clearInterval(this.#look);
    await this.#line?.close();
    await this.#looking;
  }

  #open(): ModemLine {
    this.#line ??= new ModemLine({
      settings: this.settings,
      note: this.around.note,
      announced: (line, pdu) => this.#announced(line, pdu),
      ready: () => this.#lookThrough(),
    });
    return this.#line;
  }

  #notReady(): NotTaken {
    const hindrance = this.#line?.hindrance;
    if (hindrance !== undefined) return { kind: 'refused', reason: 'not-allowed', words: hindrance };
    return { kind: 'refused', reason: 'try-later', words: 'the modem is not there or not ready' };
  }

  async #submitAll(channel: Channel, pdus: readonly SubmitPdu[], to: string): Promise<SendResult> {
    const ids: string[] = [];
    for (const pdu of pdus) {
      const { reply, isHandedOver } = await channel.submit(
        pdu.hex,
        pdu.length,
        this.settings.sendWithinSeconds * 1_000,
      );
      const reference = reply.kind === 'ok' ? /\+CMGS:\s*(\d+)/.exec(reply.lines.join('\n'))?.[1] : undefined;
      if (reference !== undefined) {
        ids.push(this.#references.remember(Number(reference), to));
        continue;
      }
      const result = this.#notTaken(reply, isHandedOver);
      if (ids.length === 0) return result;
      return { kind: 'unknown', words: `only ${ids.length} of ${pdus.length} parts went: ${result.words}` };
    }
    this.#parts.remember(ids);
    return { kind: 'accepted', providerId: ids[0] ?? '', parts: pdus.length };
  }

  #notTaken(reply: Awaited<ReturnType<Channel['submit']>>['reply'], isHandedOver: boolean): NotTaken {
    if (reply.kind === 'error') {
      const reason = reasonOfCms(reply.code, this.settings.codeMeanings);
      if (reason === 'unknown' && isHandedOver) return { kind: 'unknown', words: reply.words };
      const code = reply.code === undefined ? {} : { code: String(reply.code) };
      return {
        kind: 'refused',
        reason: reason === 'unknown' ? 'try-later' : reason,
        ...code,
        words: reply.words,
      };
    }
    if (reply.kind === 'silent') this.#line?.restart('it does not answer');
    const words =
      reply.kind === 'gone' ? 'the modem was unplugged' : 'the modem did not say whether it sent the text';
    return isHandedOver ? { kind: 'unknown', words } : { kind: 'refused', reason: 'try-later', words };
  }

  #announced(line: string, pdu: string | undefined): void {
    if (pdu !== undefined) {
      this.#passedThrough.push(pdu);
      this.#lookThrough();
      return;
    }
    const [, kind, memory, index] = /^\+(CMTI|CDSI):\s*"(\w+)"\s*,\s*(\d+)/.exec(line) ?? [];
    if (kind === 'CDSI' && memory !== undefined && memory !== this.settings.memory) {
      this.#take((channel, intake) => this.#takeFrom(memory, Number(index), channel, intake));
      return;
    }
    const answer = /^\+CUSD:\s*\d+\s*,\s*"([^"]*)"(?:,\s*(\d+))?/.exec(line);
    if (answer) this.#told?.(readable(answer[1] ?? '', Number(answer[2] ?? 15)));
    else if (kind !== undefined || /FULL/i.test(line)) this.#lookThrough();
  }

  #lookThrough(): void {
    this.#take(async (channel, intake) => {
      for (let pdu = this.#passedThrough[0]; pdu !== undefined; pdu = this.#passedThrough[0]) {
        await takeIn(pdu, intake);
        this.#passedThrough.shift();
      }
      await emptyMemory(channel, intake);
    });
  }

  async #takeFrom(memory: string, index: number, channel: Channel, intake: Intake): Promise<void> {
    await channel.ask(`AT+CPMS="${memory}"`, 10_000);
    try {
      await takeOne(channel, intake, index);
    } finally {
      await channel.ask(`AT+CPMS="${this.settings.memory}"`, 10_000);
    }
  }

  /** One look at a time; nothing is read while nobody listens, so that it stays in the modem. */
  #take(act: (channel: Channel, intake: Intake) => Promise<void>): void {
    this.#looking = this.#looking.then(async () => {
      const sink = this.#sink;
      const channel = this.#line?.channel;
      if (!sink || !channel || this.#isClosed) return;
      const intake: Intake = {
        sink,
        number: this.settings.number,
        report: (report, raw) => this.#report(sink, report, raw),
      };
      try {
        await act(channel, intake);
      } catch (error) {
        if (error instanceof ModemSilent) return this.#line?.restart('it does not answer');
        const words = error instanceof Error ? error.message : '?';
        this.around.note(`Modem: what came in could not be stored and is kept to be tried again (${words})`);
      }
    });
  }

  #report(sink: InboundSink, report: StatusReport, raw: string): Promise<void> {
    const { reference, to, at, status, state } = report;
    const providerId = this.#references.find(reference, to) ?? `modem-forgotten-${reference}`;
    const code = status < 0x20 ? {} : { code: `0x${status.toString(16)}` };
    return sink.report(
      this.#parts.whole({ providerId, state, ...code, ...(at === undefined ? {} : { at }), raw }),
    );
  }

  /** Asks by USSD (3GPP TS 27.007 section 7.15) and finds the number in the network's words. */
  async #balance(code: string): Promise<{ amount: number; unit: string }> {
    const channel = await this.#open().ready(10_000);
    if (!channel) throw new Error(`The credit cannot be asked for: ${this.#notReady().words}`);
    let timer: NodeJS.Timeout | undefined;
    const answer = new Promise<string>((resolve, reject) => {
      this.#told = resolve;
      timer = setTimeout(() => reject(new Error('The network did not tell the credit within 30 s.')), 30_000);
    });
    answer.catch(() => undefined);
    const reply = await channel.ask(`AT+CUSD=1,"${code}",15`, 20_000);
    if (reply.kind !== 'ok') {
      clearTimeout(timer);
      throw new Error(`The modem refused to ask for the credit (${reply.kind}).`);
    }
    const words = await answer.finally(() => clearTimeout(timer));
    const amount = new RegExp(this.settings.balancePattern).exec(words)?.[1];
    if (amount === undefined) throw new Error(`No amount in the network's answer: ${words}`);
    return { amount: Number(amount.replace(',', '.')), unit: this.settings.balanceUnit };
  }
}

/** A USSD answer as text: plain, or hexadecimal in the wide alphabet (72) or packed septets. */
function readable(words: string, coding: number): string {
  if (!/^([0-9A-Fa-f]{2}){3,}$/.test(words)) return words;
  const octets = octetsOf(words);
  if (coding === 72 || coding === 17) return decodeUcs2(octets);
  return decodeSeptets(unpackSeptets(octets, Math.floor((octets.length * 8) / 7)));
}

export const modemKind = describeKind({
  kind: 'modem',
  schema: SETTINGS,
  open: (name, config, around) => new ModemGateway(name, config, around),
});
