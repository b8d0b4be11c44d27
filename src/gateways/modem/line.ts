import { SerialPort } from 'serialport';
import { Channel, type Reply } from './channel.js';
import type { ModemSettings } from './settings.js';

export interface ModemEnds {
  readonly settings: ModemSettings;
  readonly note: (words: string) => void;
  /** The modem said something by itself. */
  readonly announced: (line: string, pdu: string | undefined) => void;
  /** The modem is set up: time to look through its memory. */
  readonly ready: () => void;
}

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 15_000;

/** One modem on one serial port: set up, watched, and set up again when it was unplugged and is back. */
export class ModemLine {
  #channel: Channel | undefined;
  #port: SerialPort | undefined;
  #isReady = false;
  #isClosed = false;
  #isPinRefused = false;
  #lastNote = '';
  /** Why a person must act before anything can be sent; undefined while nothing stands in the way. */
  #hindrance: string | undefined;
  #pauseMs = FIRST_PAUSE_MS;
  /** Times in a row that the port could not be opened or the modem did not answer. */
  #failures = 0;
  #timer: NodeJS.Timeout | undefined;
  #waiting: ((isReady: boolean) => void)[] = [];

  constructor(private readonly ends: ModemEnds) {
    this.#open();
  }

  /** The conversation with a modem that is set up. */
  get channel(): Channel | undefined {
    return this.#isReady ? this.#channel : undefined;
  }

  get hindrance(): string | undefined {
    return this.#hindrance;
  }

  /** The conversation, once the modem is set up; undefined when it is not within so many ms. */
  async ready(withinMs: number): Promise<Channel | undefined> {
    const isWorthWaiting = this.#failures < 2 && this.#hindrance === undefined && !this.#isClosed;
    if (!this.#isReady && isWorthWaiting) {
      await new Promise<boolean>((resolve) => {
        const timer = setTimeout(() => resolve(false), withinMs);
        this.#waiting.push((isReady) => {
          clearTimeout(timer);
          resolve(isReady);
        });
      });
    }
    return this.#isReady ? this.#channel : undefined;
  }

  /** Cuts the line to a modem that no longer answers, so that it is set up anew. */
  restart(words: string): void {
    this.#note(`Modem: ${words}; starting it anew`);
    this.#port?.close();
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    clearTimeout(this.#timer);
    const port = this.#port;
    if (port?.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()));
    this.#lost();
  }

  #open(): void {
    const { port: path, baudRate } = this.ends.settings;
    const port = new SerialPort({ path, baudRate, autoOpen: false });
    const channel = new Channel(
      (bytes) => void port.write(bytes, 'latin1'),
      (line, pdu) => this.ends.announced(line, pdu),
    );
    port.on('data', (bytes: Buffer) => channel.feed(bytes.toString('latin1')));
    port.on('error', (error) => {
      this.#note(`Modem on ${path}: ${error.message}`);
      if (port.isOpen) port.close();
    });
    port.on('close', () => {
      channel.end();
      this.#lost();
      this.#again();
    });
    port.open((error) => {
      if (this.#isClosed) return port.isOpen ? port.close() : undefined;
      if (error) {
        this.#hindrance = undefined;
        return this.#again();
      }
      this.#port = port;
      this.#channel = channel;
      void this.#setUp(channel, port);
      return undefined;
    });
  }

  async #setUp(channel: Channel, port: SerialPort): Promise<void> {
    const fault = await setUp(channel, this.ends.settings, () => this.#unlock(channel));
    if (fault === undefined) {
      this.#isReady = true;
      this.#hindrance = undefined;
      this.#pauseMs = FIRST_PAUSE_MS;
      this.#failures = 0;
      this.#note(`Modem on ${this.ends.settings.port} is ready`);
      for (const answer of this.#waiting.splice(0)) answer(true);
      this.ends.ready();
      return;
    }
    this.#note(`Modem on ${this.ends.settings.port}: ${fault.words}`);
    if (fault.needsPerson) this.#hindrance = fault.words;
    if (fault.needsPerson) for (const answer of this.#waiting.splice(0)) answer(false);
    if (port.isOpen) port.close();
  }

  /** Enters the PIN; never again once the SIM has refused it. */
  async #unlock(channel: Channel): Promise<string | undefined> {
    const { pin } = this.ends.settings;
    if (pin === undefined) return 'the SIM wants a PIN; set "pin" or take the PIN off the SIM';
    if (!this.#isPinRefused) {
      const reply = await channel.ask(`AT+CPIN="${pin}"`, 20_000);
      if (reply.kind === 'ok') return undefined;
      this.#isPinRefused = true;
    }
    return 'the SIM did not take the PIN; correct "pin" and restart (three wrong tries lock a SIM)';
  }

  #lost(): void {
    if (this.#isReady) this.#note(`Modem on ${this.ends.settings.port} is gone`);
    this.#isReady = false;
    this.#channel = undefined;
    if (this.#isClosed) for (const answer of this.#waiting.splice(0)) answer(false);
  }

  /** Says a thing once, however often it is tried again. */
  #note(words: string): void {
    if (words !== this.#lastNote) this.ends.note(words);
    this.#lastNote = words;
  }

  #again(): void {
    if (this.#isClosed) return;
    clearTimeout(this.#timer);
    this.#failures += 1;
    if (this.#failures >= 2) for (const answer of this.#waiting.splice(0)) answer(false);
    this.#timer = setTimeout(() => this.#open(), this.#pauseMs);
    this.#pauseMs = Math.min(LONGEST_PAUSE_MS, this.#pauseMs * 2);
  }
}

interface Fault {
  readonly words: string;
  readonly needsPerson: boolean;
}

/** Brings a modem into PDU mode with announcements and reports, as far as it can. Undefined when it is ready. */
async function setUp(
  channel: Channel,
  settings: ModemSettings,
  unlock: () => Promise<string | undefined>,
): Promise<Fault | undefined> {
  const passing = (words: string) => ({ words, needsPerson: false });
  let hello: Reply = { kind: 'silent' };
  for (let tries = 0; tries < 3 && hello.kind !== 'ok'; tries += 1) hello = await channel.ask('AT', 1_500);
  if (hello.kind !== 'ok') return passing('it does not answer');
  await channel.ask('ATE0');
  await channel.ask('AT+CMEE=1');
  const pin = await channel.ask('AT+CPIN?', 10_000);
  const state = pin.kind === 'ok' ? pin.lines.join(' ') : '';
  if (pin.kind === 'error') return { words: `no usable SIM (${pin.words})`, needsPerson: true };
  if (/SIM PUK/.test(state)) return { words: 'the SIM is locked and wants its PUK', needsPerson: true };
  if (/SIM PIN/.test(state)) {
    const fault = await unlock();
    if (fault) return { words: fault, needsPerson: true };
  }
  const mode = await channel.ask('AT+CMGF=0', 10_000);
  if (mode.kind !== 'ok') return passing('it does not take PDU mode');
  const { memory } = settings;
  const memories = await channel.ask(`AT+CPMS="${memory}","${memory}","${memory}"`, 10_000);
  if (memories.kind !== 'ok') return passing(`its memory ${memory} is not ready`);
  /* Texts kept and announced; reports kept and announced, or passed through, or (on the poorest) not at all. */
  for (const [texts, reports] of ['1,2', '1,1', '1,0'].map((pair) => pair.split(','))) {
    const reply = await channel.ask(`AT+CNMI=2,${texts},0,${reports},0`, 5_000);
    if (reply.kind === 'ok') return undefined;
  }
  return passing('it does not announce texts');
}
