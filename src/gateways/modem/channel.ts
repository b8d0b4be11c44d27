/** How a command ended. Only `gone` before anything was written proves that the modem did nothing. */
export type Reply =
  | { readonly kind: 'ok'; readonly lines: readonly string[] }
  | { readonly kind: 'error'; readonly code: number | undefined; readonly words: string }
  /** The modem asked for the text to send. */
  | { readonly kind: 'prompt' }
  | { readonly kind: 'silent' }
  | { readonly kind: 'gone' };

interface Waiting {
  readonly lines: string[];
  readonly wantsPrompt: boolean;
  settle(reply: Reply): void;
}

/** Announcements the modem makes by itself; a line that starts so is never part of a command's answer. */
const ANNOUNCED = /^\+(CMTI|CDSI|CUSD):|^(RING|NO CARRIER)$/;
/** Announcements followed by a line of their own: a PDU. */
const WITH_PDU = /^\+(CMT|CDS):/;
const ESCAPE = '\x1b';
const END_OF_TEXT = '\x1a';

/**
 * The conversation with a modem (3GPP TS 27.007 section 4, 27.005 section 3.1): one command at a time, its answer told
 * from what the modem says by itself. Knows bytes and lines, nothing of ports or texts.
 */
export class Channel {
  #buffer = '';
  #waiting: Waiting | undefined;
  #turn: Promise<unknown> = Promise.resolve();
  #pduOf: string | undefined;
  #isGone = false;

  constructor(
    private readonly write: (bytes: string) => void,
    private readonly announced: (line: string, pdu: string | undefined) => void,
  ) {}

  /** Bytes from the modem. */
  feed(bytes: string): void {
    this.#buffer += bytes;
    for (;;) {
      const end = this.#buffer.search(/[\r\n]/);
      if (end < 0) break;
      const line = this.#buffer.slice(0, end).trim();
      this.#buffer = this.#buffer.slice(end + 1);
      if (line !== '') this.#line(line);
    }
    if (this.#waiting?.wantsPrompt && /^>\s?$/.test(this.#buffer)) {
      this.#buffer = '';
      this.#waiting.settle({ kind: 'prompt' });
    }
  }

  /** The port is closed: whoever waits is told. */
  end(): void {
    this.#isGone = true;
    this.#waiting?.settle({ kind: 'gone' });
  }

  /** Says one command, after those before it. */
  ask(command: string, withinMs = 5_000): Promise<Reply> {
    return this.#inTurn(() => this.#say(`${command}\r`, withinMs, false));
  }

  /**
   * Sends one PDU: the command, the modem's prompt, the PDU. `isHandedOver` false means that the PDU was never written.
   */
  submit(
    pdu: string,
    length: number,
    withinMs: number,
  ): Promise<{ readonly reply: Reply; readonly isHandedOver: boolean }> {
    return this.#inTurn(async () => {
      const asked = await this.#say(`AT+CMGS=${length}\r`, 10_000, true);
      if (asked.kind !== 'prompt') {
        if (asked.kind === 'silent' && !this.#isGone) this.write(ESCAPE);
        return { reply: asked, isHandedOver: false };
      }
      return { reply: await this.#say(`${pdu}${END_OF_TEXT}`, withinMs, false), isHandedOver: true };
    });
  }

  #inTurn<Result>(act: () => Promise<Result>): Promise<Result> {
    const result = this.#turn.then(act);
    this.#turn = result.catch(() => undefined);
    return result;
  }

  #say(bytes: string, withinMs: number, wantsPrompt: boolean): Promise<Reply> {
    if (this.#isGone) return Promise.resolve({ kind: 'gone' });
    return new Promise((resolve) => {
      const settle = (reply: Reply) => {
        clearTimeout(timer);
        this.#waiting = undefined;
        resolve(reply);
      };
      const timer = setTimeout(() => settle({ kind: 'silent' }), withinMs);
      this.#waiting = { lines: [], wantsPrompt, settle };
      this.write(bytes);
    });
  }

  #line(line: string): void {
    if (this.#pduOf !== undefined) {
      const announcement = this.#pduOf;
      this.#pduOf = undefined;
      this.announced(announcement, line);
      return;
    }
    if (WITH_PDU.test(line)) {
      this.#pduOf = line;
      return;
    }
    if (ANNOUNCED.test(line)) {
      this.announced(line, undefined);
      return;
    }
    this.#answerLine(line);
  }

  #answerLine(line: string): void {
    const waiting = this.#waiting;
    if (!waiting) {
      this.announced(line, undefined);
      return;
    }
    if (line === 'OK') waiting.settle({ kind: 'ok', lines: waiting.lines });
    else if (/^\+(CMS|CME) ERROR:|^ERROR$/.test(line)) {
      const code = /ERROR:\s*(\d+)/.exec(line)?.[1];
      waiting.settle({ kind: 'error', code: code === undefined ? undefined : Number(code), words: line });
    } else if (!/^AT/i.test(line)) waiting.lines.push(line);
    /* A modem that echoes repeats the command itself. */
  }
}
