import { randomInt, randomUUID } from 'node:crypto';
import type { Pdu } from 'smpp';
import type { Gateway, InboundSink, OutboundText, SendResult, Surroundings } from '../gateway.js';
import { describeKind } from '../kind.js';
import { PartsSent } from '../parts.js';
import { type Submit, submitsOf } from './encode.js';
import { Line, type SubmitAnswer } from './line.js';
import { readDeliver, submitId } from './read.js';
import { SETTINGS, type SmppSettings } from './settings.js';
import { QUEUE_FULL, reasonOfStatus, THROTTLED, wordOfStatus } from './status.js';

/** "Temporary application error": the provider keeps what it wanted to hand over and tries again. */
const TRY_AGAIN = 0x64;
/** How long a text waits for a line that is being made. */
const LINE_WITHIN_MS = 5_000;

/** SMPP 3.4 over one bound connection: transmitter while it only sends, transceiver once someone listens. */
export class SmppGateway implements Gateway {
  readonly kind = 'smpp';
  #line: Line | undefined;
  #sink: InboundSink | undefined;
  #isClosed = false;
  #silentUntil = 0;
  #reference = randomInt(256);
  readonly #parts = new PartsSent();
  /** Long texts on their way: their parts' ids are not all known yet. */
  readonly #sending = new Set<Promise<unknown>>();

  constructor(
    readonly name: string,
    private readonly settings: SmppSettings,
    private readonly around: Surroundings,
  ) {}

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#isClosed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    const silentMs = this.#silentUntil - this.around.wallNow();
    if (silentMs > 0) return tryLater('throttled a moment ago', silentMs / 1_000);
    const line = this.#open();
    if (!(await line.ready(LINE_WITHIN_MS))) return tryLater('the line to the provider is down');
    this.#reference = (this.#reference + 1) % 256;
    const submits = submitsOf(text, this.settings, this.#reference);
    const sending = this.#submitAll(line, submits);
    if (submits.length > 1) this.#sending.add(sending);
    try {
      return await sending;
    } finally {
      this.#sending.delete(sending);
    }
  }

  async listen(sink: InboundSink): Promise<() => Promise<void>> {
    this.#sink = sink;
    await this.#line?.close();
    this.#line = undefined;
    this.#open();
    return async () => {
      this.#sink = undefined;
      await this.#line?.close();
      this.#line = undefined;
    };
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    await this.#line?.close();
  }

  #open(): Line {
    this.#line ??= new Line({
      settings: this.settings,
      note: this.around.note,
      deliver: this.#sink ? (pdu) => this.#deliver(pdu) : undefined,
    });
    return this.#line;
  }

  /** Part after part: a refusal of the first refuses the text; later ones leave it open what the family got. */
  async #submitAll(line: Line, submits: readonly Submit[]): Promise<SendResult> {
    const ids: string[] = [];
    for (const fields of submits) {
      const answer = await line.submit(fields);
      if (answer.kind === 'answered' && answer.status === 0) {
        ids.push(submitId(answer.id, this.settings));
      } else {
        const result = this.#notTaken(answer);
        if (ids.length === 0) return result;
        return {
          kind: 'unknown',
          words: `only ${ids.length} of ${submits.length} parts went: ${result.words}`,
        };
      }
    }
    this.#parts.remember(ids);
    const [providerId] = ids;
    if (!providerId) return { kind: 'unknown', words: 'the provider took the text but gave it no id' };
    return { kind: 'accepted', providerId, parts: submits.length };
  }

  #notTaken(answer: SubmitAnswer): Exclude<SendResult, { kind: 'accepted' }> {
    if (answer.kind === 'never-left') return tryLater(answer.words);
    if (answer.kind === 'no-answer') return { kind: 'unknown', words: answer.words };
    const code = wordOfStatus(answer.status);
    const { silenceAfterThrottledSeconds, waitAfterQueueFullSeconds } = this.settings;
    if (answer.status === THROTTLED) {
      this.#silentUntil = this.around.wallNow() + silenceAfterThrottledSeconds * 1_000;
      this.around.note(`SMPP provider throttles: silent for ${silenceAfterThrottledSeconds} s`);
      return { ...tryLater('throttled', silenceAfterThrottledSeconds), code };
    }
    if (answer.status === QUEUE_FULL) {
      return { ...tryLater("the provider's queue is full", waitAfterQueueFullSeconds), code };
    }
    const reason = reasonOfStatus(answer.status, this.settings.statusMeanings);
    return { kind: 'refused', reason, code, words: `refused with command_status ${code}` };
  }

  async #deliver(pdu: Pdu): Promise<number> {
    const sink = this.#sink;
    if (!sink) return TRY_AGAIN;
    try {
      await this.#store(sink, pdu);
      return 0;
    } catch (error) {
      this.around.note(
        `SMPP: what came in could not be stored (${error instanceof Error ? error.message : '?'})`,
      );
      return TRY_AGAIN;
    }
  }

  async #store(sink: InboundSink, pdu: Pdu): Promise<void> {
    let read: ReturnType<typeof readDeliver>;
    try {
      read = readDeliver(pdu, this.settings, `smpp-${randomUUID()}`);
    } catch (error) {
      const words = error instanceof Error ? error.message : 'not understood';
      return sink.unreadable(JSON.stringify(pdu), words);
    }
    if (read.type === 'text') return sink.text(read.text);
    /* A receipt may overtake the answer to the submit; wait until it is known which text the part belongs to. */
    await Promise.allSettled(this.#sending);
    return sink.report(this.#parts.whole(read.report));
  }
}

function tryLater(words: string, seconds?: number) {
  const wait = seconds === undefined ? {} : { retryAfterSeconds: Math.ceil(seconds) };
  return { kind: 'refused', reason: 'try-later', words, ...wait } as const;
}

export const smppKind = describeKind({
  kind: 'smpp',
  schema: SETTINGS,
  open: (name, config, around) => new SmppGateway(name, config, around),
});
