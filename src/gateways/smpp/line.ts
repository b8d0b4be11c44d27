import smpp, { type Pdu, type Session } from 'smpp';
import type { Submit } from './encode.js';
import type { SmppSettings } from './settings.js';
import { wordOfStatus } from './status.js';
import { Window } from './window.js';

/*
 * The library decodes texts with its own guess of their alphabet and forgets the octets. Without these filters it
 * hands over what came, and the core's own tables read it. Encoding is not touched: octets are given to it there.
 */
const received = smpp.commands.deliver_sm?.params.short_message;
if (received) received.filter = undefined;
const payload = smpp.tlvs.message_payload;
if (payload) payload.filter = undefined;

export type SubmitAnswer =
  | { readonly kind: 'answered'; readonly status: number; readonly id: string }
  | { readonly kind: 'never-left'; readonly words: string }
  | { readonly kind: 'no-answer'; readonly words: string };

export interface LineEnds {
  readonly settings: SmppSettings;
  readonly note: (words: string) => void;
  /** What comes in; resolves to the command_status to answer with. Unset: this line only sends. */
  readonly deliver: ((pdu: Pdu) => Promise<number>) | undefined;
}

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 60_000;
const SMPP_3_4 = 0x34;

/** One bound connection to an SMSC that comes back by itself when it breaks. */
export class Line {
  #session: Session | undefined;
  #isBound = false;
  #isClosed = false;
  #pauseMs = FIRST_PAUSE_MS;
  /** Times in a row that no line could be made. */
  #failures = 0;
  #retry: NodeJS.Timeout | undefined;
  #heartbeat: NodeJS.Timeout | undefined;
  #waiting: ((isBound: boolean) => void)[] = [];
  readonly #underWay = new Set<(answer: SubmitAnswer) => void>();
  readonly #window: Window;

  constructor(private readonly ends: LineEnds) {
    this.#window = new Window(ends.settings.window, ends.settings.perSecond);
    this.#connect();
  }

  /** Resolves true once bound, false when it is not within so many ms. */
  ready(withinMs: number): Promise<boolean> {
    if (this.#isBound || this.#isClosed || this.#failures >= 2) return Promise.resolve(this.#isBound);
    return new Promise((resolve) => {
      const answer = (isBound: boolean) => {
        clearTimeout(timer);
        resolve(isBound);
      };
      const timer = setTimeout(() => {
        this.#waiting = this.#waiting.filter((one) => one !== answer);
        resolve(false);
      }, withinMs);
      this.#waiting.push(answer);
    });
  }

  /** Hands one part over inside the window and says how that ended. */
  async submit(fields: Submit): Promise<SubmitAnswer> {
    await this.#window.enter();
    try {
      return await this.#submitNow(fields);
    } finally {
      this.#window.leave();
    }
  }

  /** Says goodbye, waits for it at most a second, and cuts the line. */
  async close(): Promise<void> {
    if (this.#isClosed) return;
    this.#isClosed = true;
    clearTimeout(this.#retry);
    const session = this.#session;
    if (session && this.#isBound) {
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, 1_000);
        const done = () => {
          clearTimeout(timer);
          resolve();
        };
        session.once('close', done);
        if (!session.unbind({}, done)) done();
      });
    }
    this.#down('closed');
    session?.destroy();
  }

  #submitNow(fields: Submit): Promise<SubmitAnswer> {
    const session = this.#session;
    if (!session || !this.#isBound) {
      return Promise.resolve({ kind: 'never-left', words: 'the line to the provider is down' });
    }
    const { answerWithinSeconds } = this.ends.settings;
    return new Promise((resolve) => {
      const answer = (how: SubmitAnswer) => {
        clearTimeout(timer);
        this.#underWay.delete(answer);
        resolve(how);
      };
      const timer = setTimeout(
        () => answer({ kind: 'no-answer', words: `no answer within ${answerWithinSeconds} s` }),
        answerWithinSeconds * 1_000,
      );
      this.#underWay.add(answer);
      const isWritten = session.submit_sm(fields, (pdu) => {
        const id = typeof pdu.message_id === 'string' ? pdu.message_id : '';
        answer({ kind: 'answered', status: pdu.command_status, id });
      });
      if (!isWritten) answer({ kind: 'never-left', words: 'the line to the provider is down' });
    });
  }

  #connect(): void {
    const { host, port, tls } = this.ends.settings;
    const session = smpp.connect({ host, port, ...(tls ? { tls } : {}) });
    this.#session = session;
    session.once(tls ? 'secureConnect' : 'connect', () => this.#bind(session));
    session.on('error', (error: Error) => {
      this.ends.note(`SMPP line to ${host}:${port}: ${error.message}`);
      session.destroy();
    });
    session.once('close', () => {
      if (this.#session !== session) return;
      this.#down('the line to the provider broke');
      this.#reconnectLater();
    });
    session.on('deliver_sm', (pdu: Pdu) => void this.#delivered(session, pdu));
    session.on('enquire_link', (pdu: Pdu) => void session.send(pdu.response()));
    session.on('unbind', (pdu: Pdu) => {
      session.send(pdu.response());
      session.close();
    });
  }

  #bind(session: Session): void {
    const { systemId, password, systemType } = this.ends.settings;
    const fields = {
      system_id: systemId,
      password,
      system_type: systemType,
      interface_version: SMPP_3_4,
    };
    const bound = (pdu: Pdu) => {
      if (pdu.command_status === 0) return this.#up(session);
      this.ends.note(
        `SMPP bind refused with ${wordOfStatus(pdu.command_status)}: check system id and password`,
      );
      this.#pauseMs = LONGEST_PAUSE_MS;
      session.destroy();
    };
    if (this.ends.deliver) session.bind_transceiver(fields, bound);
    else session.bind_transmitter(fields, bound);
  }

  #up(session: Session): void {
    this.#isBound = true;
    this.#failures = 0;
    this.#pauseMs = FIRST_PAUSE_MS;
    this.ends.note(`SMPP line to ${this.ends.settings.host} is up`);
    let lastHeard = Date.now();
    session.on('pdu', () => {
      lastHeard = Date.now();
    });
    const silenceMs = this.ends.settings.enquireAfterSeconds * 1_000;
    this.#heartbeat = setInterval(
      () => {
        const silentMs = Date.now() - lastHeard;
        if (silentMs > silenceMs + this.ends.settings.answerWithinSeconds * 1_000) session.destroy();
        else if (silentMs >= silenceMs) session.enquire_link({});
      },
      Math.min(silenceMs, 5_000),
    );
    for (const answer of this.#waiting.splice(0)) answer(true);
  }

  #down(words: string): void {
    if (this.#isBound) this.ends.note(`SMPP line to ${this.ends.settings.host} is down`);
    this.#isBound = false;
    clearInterval(this.#heartbeat);
    for (const answer of [...this.#underWay]) answer({ kind: 'no-answer', words });
    if (this.#isClosed) for (const answer of this.#waiting.splice(0)) answer(false);
  }

  #reconnectLater(): void {
    if (this.#isClosed) return;
    this.#failures += 1;
    if (this.#failures >= 2) for (const answer of this.#waiting.splice(0)) answer(false);
    this.#retry = setTimeout(() => this.#connect(), this.#pauseMs);
    this.#pauseMs = Math.min(LONGEST_PAUSE_MS, this.#pauseMs * 2);
  }

  /** Answers only once what came is stored, so that the provider keeps it until then. */
  async #delivered(session: Session, pdu: Pdu): Promise<void> {
    const status = (await this.ends.deliver?.(pdu)) ?? 0x64;
    session.send(pdu.response(status === 0 ? {} : { command_status: status }));
  }
}
