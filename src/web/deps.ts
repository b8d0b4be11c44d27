import type { Protocol } from '../core/course/protocol.js';
import type { Step, StoredConversation } from '../core/model/effects.js';
import type { StepFacts } from '../core/model/family.js';
import type { Reading, TextToRead } from '../core/model/reading.js';
import type { Clock } from '../core/time/clock.js';
import type { Gateway, InboundSink } from '../gateways/gateway.js';
import type { PlanCourse } from '../store/course-record.js';
import type { Store } from '../store/store.js';
import type { Views } from '../store/views/views.js';
import type { QueueWatch } from './pages/queue/news.js';
import type { Sessions } from './sessions.js';
import type { Words } from './wording.js';

export interface HealthLine {
  readonly part: string;
  readonly isWell: boolean;
  readonly words: string;
}

/** As much of the pure core as pages use. */
export interface WebCore {
  readText(text: TextToRead): Reading;
  /** What would follow from a text; nothing happens. */
  onText(input: {
    readonly conversation: StoredConversation | null;
    readonly text: string;
    readonly reading: Reading;
    readonly facts: StepFacts;
    readonly now: number;
  }): Step;
  /** The words of a text in a language; falls back to one that has them. */
  fillWording(wanted: {
    readonly wording: string;
    readonly values: Readonly<Record<string, string>>;
    readonly language: string;
  }): { readonly body: string; readonly language: string };
  /** How a changed record is planned anew. */
  readonly planCourse: PlanCourse;
}

/** One line of a phone's thread, as its owner sees it; `at` ISO 8601. */
export interface DemoText {
  readonly direction: 'to-family' | 'from-family';
  readonly body: string;
  readonly at: string;
}

/** A phone of the pretend network. */
export interface DemoPhone {
  readonly number: string;
  readonly texts: number;
  readonly last: DemoText | null;
}

/** What only a demonstration has: phones to hold and a clock to move. */
export interface Demo {
  readonly network: {
    phones(): Promise<readonly DemoPhone[]>;
    /** The texts of one phone, oldest first. */
    phone(number: string): Promise<{ readonly thread: readonly DemoText[] }>;
    /** A family types a text; resolves when the network took it. */
    type(number: string, body: string): Promise<unknown>;
  };
  /** Moves the clock forward to an instant (ms) and waits until what was due by then has been done. */
  moveClockTo(at: number): Promise<void>;
}

export interface WebConfig {
  /** Public address without a trailing slash; signatures of providers cover it. */
  readonly publicUrl: string;
  /** Bytes of a provider's request that are read; what is longer is answered 413. Default 128 KiB. */
  readonly hookLimitBytes?: number;
  /** Flags on one page of the queue; default 20. */
  readonly queuePageSize?: number;
}

/** Everything the pages and webhooks need from the rest. */
export interface WebDeps {
  readonly store: Store;
  readonly clock: Clock;
  readonly sessions: Sessions;
  /** By name, the last step of a webhook's path. */
  readonly gateways: ReadonlyMap<string, Gateway>;
  /**
   * Where what a gateway brings is put. Resolves once it is stored; putting it in the queue for reading must not
   * fail it, since whatever is stored and unread is found again.
   */
  readonly inbound: (gateway: string) => InboundSink;
  /** Staff languages by code; `en` must be there. */
  readonly languages: ReadonlyMap<string, Words>;
  readonly health: () => Promise<readonly HealthLine[]>;
  readonly config: WebConfig;
  /** Tells whoever runs this process; never a family's words or numbers. */
  readonly note: (words: string, error?: unknown) => void;
  /** Texts of the course are written down this far ahead (ms). */
  readonly planAheadMs: number;
  readonly core: WebCore;
  /** Texts now wait in the outbox: whoever sends may look at once. */
  readonly onTextsWaiting?: () => void;
  /** By name, from `flows/protocols`. */
  readonly protocols: ReadonlyMap<string, Protocol>;
  readonly demo?: Demo;
}

/** The same with the pages' queries beside it. */
export interface Web extends WebDeps {
  readonly views: Views;
  readonly queueWatch: QueueWatch;
}
