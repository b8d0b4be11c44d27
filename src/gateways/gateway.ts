import type { DeliveryState } from '../core/texts/delivery-order.js';
import type { TextPart } from '../core/texts/join-parts.js';

export type { DeliveryState } from '../core/texts/delivery-order.js';
export type { TextPart } from '../core/texts/join-parts.js';

/** One text to one phone, as handed to a gateway. */
export interface OutboundText {
  /** Our own id of the text; sent along where the provider has room for it, so that its reports name it. */
  readonly id: string;
  /** E.164 with the plus sign, for example `+15550100123`. */
  readonly to: string;
  /** Number or sender name shown to the family; the gateway's configured one when absent. */
  readonly from?: string;
  readonly body: string;
  /** After this many seconds the network should give up instead of delivering a stale text. */
  readonly validForSeconds?: number;
}

/**
 * Why a provider certainly did not take a text.
 * `wrong-number`: no such phone, not a mobile; never try again. `unreachable`: the phone or its network did not
 * answer; a later try may work. `opted-out`: the family told the provider to stop. `out-of-credit`, `not-allowed`
 * (credentials, sender name, country): every text will fail until a person acts. `too-long`: this text cannot go
 * through this gateway. `try-later`: throttled, busy or down; nothing is wrong with the text.
 */
export const REFUSAL_REASONS = [
  'wrong-number',
  'unreachable',
  'opted-out',
  'out-of-credit',
  'not-allowed',
  'too-long',
  'try-later',
] as const;
export type RefusalReason = (typeof REFUSAL_REASONS)[number];

export type SendResult =
  | {
      readonly kind: 'accepted';
      readonly providerId: string;
      /** Parts the provider says it will bill. */
      readonly parts?: number;
    }
  | {
      readonly kind: 'refused';
      readonly reason: RefusalReason;
      readonly retryAfterSeconds?: number;
      /** The provider's own code and words, kept for whoever has to call the provider. */
      readonly code?: string;
      readonly words: string;
    }
  | {
      /** The text may have gone out: no answer came. Never blindly sent again; the text's promise decides. */
      readonly kind: 'unknown';
      readonly words: string;
    };

/** A text a family sent, as the provider passed it on. Nothing is trimmed or repaired here. */
export interface InboundText {
  /**
   * The provider's id. Where it gives none: derived from what arrived if that says when it was sent, so that a repeat
   * is the same; otherwise new each time, since two answers of "yes" must never be taken for one.
   */
  readonly providerId: string;
  readonly from: string;
  readonly to: string;
  readonly body: string;
  /** When the provider says it was sent, ISO 8601 with offset. Their clock, not ours. */
  readonly at?: string;
  /** Set when this is one part of a long text. */
  readonly part?: TextPart;
  /** What arrived, as text, exactly. */
  readonly raw: string;
}

/** What a provider says became of a text. May come twice, late, out of order, or before `send` has answered. */
export interface DeliveryReport {
  readonly providerId: string;
  readonly ourId?: string;
  readonly state: DeliveryState;
  /** Set when `state` is `failed` and the provider's code is known to mean this. */
  readonly reason?: RefusalReason;
  readonly code?: string;
  readonly at?: string;
  readonly raw: string;
}

/** A web request from a provider, before anything looked at it. */
export interface WebhookRequest {
  readonly method: string;
  /** The full public URL as the provider called it, with its query: signatures cover it. */
  readonly url: string;
  readonly path: string;
  /** Names in lower case. */
  readonly headers: Readonly<Record<string, string | readonly string[] | undefined>>;
  readonly rawBody: Buffer;
  /** Address of the caller. */
  readonly remote: string;
}

export interface WebhookReply {
  readonly status: number;
  readonly type: string;
  readonly body: string;
}

export type InboundRead =
  | {
      readonly kind: 'genuine';
      readonly texts: readonly InboundText[];
      readonly reports: readonly DeliveryReport[];
      /** Sent once everything read is stored. */
      readonly reply: WebhookReply;
    }
  /** Signature or secret wrong, or too old: answer 403 and keep nothing but a count. */
  | { readonly kind: 'not-genuine'; readonly words: string }
  /** Genuine, but not understood: store `raw` for a person, then answer 200 so that it is not lost in retries. */
  | { readonly kind: 'unreadable'; readonly words: string; readonly raw: string };

/** Where a gateway that needs no webhook puts what arrives. It acknowledges to the network only once this resolves. */
export interface InboundSink {
  text(text: InboundText): Promise<void>;
  report(report: DeliveryReport): Promise<void>;
  /** Something arrived that could not be read; a person should see it. */
  unreadable(raw: string, words: string): Promise<void>;
}

/** One line of the provider's own list, used to settle what `unknown` left open. */
export interface ListedText {
  readonly providerId: string;
  readonly ourId?: string;
  readonly to: string;
  readonly body: string;
  readonly state: DeliveryState;
  readonly at: string;
}

export interface ProviderList {
  readonly sent: readonly ListedText[];
  /** Texts from families, so that one whose webhook failed is not lost. */
  readonly received: readonly InboundText[];
}

/**
 * A way to reach phones. The narrowest contract that is honest: `send` always answers (it never throws, also when
 * closed), and what comes in is read without side effects so that it can be stored before anything is decided.
 */
export interface Gateway {
  /** What it is: `twilio`, `smpp`, `modem`, ... */
  readonly kind: string;
  /** What the clinic calls it; the last step of its webhook's path. */
  readonly name: string;
  send(text: OutboundText): Promise<SendResult>;
  /** Webhook kinds only. Synchronous; reads nothing but the request and the configured secret. */
  readInbound?(request: WebhookRequest): InboundRead;
  /** Kinds that hold a line open (SMPP, modem). Resolves to a function that stops listening. */
  listen?(sink: InboundSink): Promise<() => Promise<void>>;
  /** What the provider recorded since this instant (ms). Rejects when the provider cannot be asked. */
  list?(sinceMs: number): Promise<ProviderList>;
  /** Money or texts left, in the provider's words. */
  balance?(): Promise<{ readonly amount: number; readonly unit: string }>;
  /** Ends every line and timer; resolves when nothing of it keeps the process alive. Safe to call twice. */
  close(): Promise<void>;
}

/** What a gateway gets from the outside besides its own configuration. */
export interface Surroundings {
  /**
   * The time on the wall, in ms. Signatures and time-outs are measured against the provider's real clock, so this is
   * never the moved clock of a demonstration.
   */
  readonly wallNow: () => number;
  /** Public address of toeline without a trailing slash, for example `https://toeline.example`. */
  readonly publicUrl: string;
  /** Told of what an operator should know: line lost, line back, throttled. No numbers, no words of families. */
  readonly note: (words: string) => void;
}
