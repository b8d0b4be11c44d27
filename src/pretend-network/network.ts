import { randomUUID } from 'node:crypto';
import { segments } from '../core/texts/segments.js';
import { type CallbackSettings, Callbacks } from './callbacks.js';
import { Dice, FAULTS, type Faults, NO_FAULTS } from './faults.js';

export type PretendState = 'accepted' | 'sent' | 'delivered' | 'failed' | 'expired';

/** A text from the clinic to a phone. */
export interface TextToPhone {
  readonly providerId: string;
  readonly id: string;
  readonly to: string;
  readonly from: string;
  readonly body: string;
  readonly at: string;
  readonly parts: number;
  state: PretendState;
  /** When the phone showed it. */
  shownAt?: string;
}

/** A text a family typed. */
export interface TextFromPhone {
  readonly providerId: string;
  readonly from: string;
  readonly to: string;
  readonly body: string;
  readonly at: string;
}

/** One line of a phone's thread, as its owner sees it. */
export interface ThreadLine {
  readonly direction: 'to-family' | 'from-family';
  readonly providerId: string;
  readonly body: string;
  readonly at: string;
}

export interface Phone {
  readonly number: string;
  isOn: boolean;
  readonly thread: ThreadLine[];
  /** The number this phone last had to do with: where a reply goes. */
  clinic: string | undefined;
}

interface Waiting {
  readonly text: TextToPhone;
  readonly until: number;
}

const THREE_DAYS_S = 259_200;
const newId = (prefix: string) => `${prefix}${randomUUID().replaceAll('-', '')}`;

/** The pretend network's memory and behaviour, without its HTTP face. */
export class Network {
  readonly callbacks: Callbacks;
  readonly phones = new Map<string, Phone>();
  readonly sent: TextToPhone[] = [];
  readonly received: TextFromPhone[] = [];
  faults: Faults = NO_FAULTS;
  /** How far the network's calendar runs ahead of the wall, ms: a demonstration moves it. Signatures ignore it. */
  aheadMs = 0;
  dice = new Dice(NO_FAULTS.seed);
  #waiting: Waiting[] = [];
  #lastSecond: number[] = [];
  readonly #timers = new Set<NodeJS.Timeout>();
  readonly #expiry: NodeJS.Timeout;
  constructor(callbacks: CallbackSettings) {
    this.callbacks = new Callbacks(callbacks);
    this.#expiry = setInterval(() => this.expireWaiting(), 1_000);
    this.#expiry.unref();
  }

  setFaults(raw: unknown): void {
    this.faults = FAULTS.parse(raw);
    this.dice = new Dice(this.faults.seed);
  }

  now(): string {
    return new Date(Date.now() + this.aheadMs).toISOString();
  }

  phone(number: string): Phone {
    const known = this.phones.get(number);
    if (known) return known;
    const phone: Phone = { number, isOn: true, thread: [], clinic: undefined };
    this.phones.set(number, phone);
    return phone;
  }

  /** Claims that one more text fits into this second, and counts it. */
  hasRoom(): boolean {
    if (this.faults.perSecond === null) return true;
    const now = Date.now();
    this.#lastSecond = this.#lastSecond.filter((at) => now - at < 1_000);
    if (this.#lastSecond.length >= this.faults.perSecond) return false;
    this.#lastSecond.push(now);
    return true;
  }

  /** Takes a text for delivery; its steps are reported later, as the faults allow. */
  take(wanted: { id: string; to: string; from: string; body: string; validForSeconds?: number | undefined }) {
    const { id, to, from, body } = wanted;
    const text: TextToPhone = {
      providerId: newId('PN'),
      id,
      to,
      from,
      body,
      at: this.now(),
      parts: segments(body).parts.length,
      state: 'accepted',
    };
    this.sent.push(text);
    if (this.dice.hits(this.faults.textLost)) return text;
    const validForMs = (wanted.validForSeconds ?? THREE_DAYS_S) * 1_000;
    if (this.dice.hits(this.faults.reportEarly)) this.#progress(text, validForMs);
    else this.#after(this.#stepMs(), () => this.#progress(text, validForMs));
    return text;
  }

  /** A family types a text: it is kept, shown in the thread and passed on to toeline. */
  type(number: string, body: string, to?: string): TextFromPhone {
    const phone = this.phone(number);
    const text: TextFromPhone = {
      providerId: newId('PI'),
      from: number,
      to: to ?? phone.clinic ?? '+15550100000',
      body,
      at: this.now(),
    };
    this.received.push(text);
    phone.thread.push({ direction: 'from-family', providerId: text.providerId, body, at: text.at });
    this.#passOn(text);
    if (this.dice.hits(this.faults.inboundDoubled)) this.#passOn(text);
    if (this.dice.hits(this.faults.inboundEchoed)) {
      this.#passOn({ ...text, providerId: newId('PI') });
    }
    return text;
  }

  /** Hands a family's text to toeline: whole, or in the parts it travelled in. */
  #passOn(text: TextFromPhone): void {
    const bodies = this.faults.inboundInParts ? segments(text.body).parts : [];
    if (bodies.length < 2) {
      this.callbacks.call({ type: 'text', ...text });
      return;
    }
    const ref = this.dice.between(0, 255);
    const parts = bodies.map((body, index) => ({
      type: 'text',
      ...text,
      providerId: `${text.providerId}-${index + 1}`,
      body,
      part: { ref, number: index + 1, total: bodies.length },
    }));
    if (this.dice.hits(this.faults.inboundPartsShuffled)) parts.reverse();
    for (const part of parts) if (!this.dice.hits(this.faults.inboundPartLost)) this.callbacks.call(part);
  }

  /** Switches a phone on or off; texts wait for a phone that is off. */
  switchPhone(number: string, isOn: boolean): Phone {
    const phone = this.phone(number);
    phone.isOn = isOn;
    if (isOn) {
      const due = this.#waiting.filter((one) => one.text.to === number);
      this.#waiting = this.#waiting.filter((one) => one.text.to !== number);
      for (const one of due) this.#arrive(one.text);
    }
    return phone;
  }

  expireWaiting(): void {
    const now = Date.now() + this.aheadMs;
    const over = this.#waiting.filter((one) => one.until <= now);
    this.#waiting = this.#waiting.filter((one) => one.until > now);
    for (const one of over) this.#report(one.text, 'expired');
  }

  close(): void {
    clearInterval(this.#expiry);
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
    this.callbacks.close();
  }

  #progress(text: TextToPhone, validForMs: number): void {
    const code =
      this.faults.fail[text.to] ?? (this.dice.hits(this.faults.textFails) ? 'no-route' : undefined);
    if (code !== undefined) {
      this.#report(text, 'failed', code);
      return;
    }
    if (this.dice.hits(this.faults.reportsShuffled)) {
      this.#arrive(text);
      this.#report(text, 'sent');
      return;
    }
    this.#report(text, 'sent');
    this.#after(this.#stepMs(), () => {
      if (this.phone(text.to).isOn) this.#arrive(text);
      else this.#waiting.push({ text, until: Date.parse(text.at) + validForMs });
    });
  }

  #arrive(text: TextToPhone): void {
    const phone = this.phone(text.to);
    text.shownAt = this.now();
    phone.clinic = text.from;
    phone.thread.push({
      direction: 'to-family',
      providerId: text.providerId,
      body: text.body,
      at: text.shownAt,
    });
    this.#report(text, 'delivered');
  }

  #report(text: TextToPhone, state: PretendState, code?: string): void {
    if (text.state === 'accepted' || text.state === 'sent') text.state = state;
    if (this.dice.hits(this.faults.reportLost)) return;
    const content = {
      type: 'report',
      providerId: text.providerId,
      id: text.id,
      state,
      at: this.now(),
      ...(code === undefined ? {} : { code }),
    };
    const { chance, byMs } = this.faults.reportLate;
    const times = this.dice.hits(this.faults.reportDoubled) ? 2 : 1;
    for (let time = 0; time < times; time += 1) {
      if (this.dice.hits(chance)) this.#after(byMs, () => this.callbacks.call(content));
      else this.callbacks.call(content);
    }
  }

  #stepMs(): number {
    return this.dice.between(this.faults.reportDelayMs.from, this.faults.reportDelayMs.to);
  }

  #after(ms: number, act: () => void): void {
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      act();
    }, ms);
    this.#timers.add(timer);
  }
}
