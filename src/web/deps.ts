import type { Effect } from '../core/model/effects.js';
import type { Reading } from '../core/model/reading.js';
import type { Asked, ReadingPhase } from '../core/model/signs.js';
import type { Clock } from '../core/time/clock.js';
import type { Gateway, InboundSink } from '../gateways/gateway.js';
import type { ChildRecord, PlanCourse } from '../store/course-record.js';
import type { Store } from '../store/store.js';
import type { Views } from '../store/views/views.js';
import type { Sessions } from './sessions.js';
import type { Words } from './wording.js';

export interface HealthLine {
  readonly part: string;
  readonly isWell: boolean;
  readonly words: string;
}

/** As much of a child's dated course as pages show. Dates ISO, local to the clinic. */
export interface ShownCourse {
  readonly phase: string;
  readonly phases: readonly { readonly phase: string; readonly from: string; readonly to: string | null }[];
  readonly visits: readonly ShownVisit[];
  readonly wearTarget: { readonly hoursPerDay: number; readonly hoursPerDayTo?: number } | null;
  readonly wearSteps: readonly {
    readonly from: string;
    readonly to: string | null;
    readonly hoursFrom: number;
    readonly hoursTo: number;
  }[];
  readonly alerts: readonly { readonly code: string; readonly reason: string; readonly source: string }[];
}

export interface ShownVisit {
  readonly kind: string;
  readonly due: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly status: string;
  readonly keptOn?: string;
  readonly missedOn?: string;
  /** Follows only if every cast before it does its work. */
  readonly isExpectation?: true;
}

/** The course of a record, or every fault of the record as sentences for a nurse. Pure. */
export type CourseOf = (
  record: ChildRecord,
  now: number,
) =>
  | { readonly kind: 'course'; readonly course: ShownCourse }
  | { readonly kind: 'faults'; readonly faults: readonly string[] };

/** What a text would be read as and what would follow, without anything happening. */
export interface Trial {
  readonly reading: Reading;
  readonly effects: readonly Effect[];
}

export interface TrialAsk {
  readonly text: string;
  readonly language: string;
  readonly phase: ReadingPhase;
  readonly asked: Asked;
  readonly now: number;
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
  /** How a changed record is planned anew, and how far ahead (ms). */
  readonly plan: PlanCourse;
  readonly planAheadMs: number;
  readonly course: CourseOf;
  /** Reads a text as the worker would, for a child of nobody. */
  readonly tryText: (ask: TrialAsk) => Trial;
  /** Texts now wait in the outbox: whoever sends may look at once. */
  readonly onTextsWaiting?: () => void;
  readonly demo?: Demo;
}

/** The same with the pages' queries beside it. */
export interface Web extends WebDeps {
  readonly views: Views;
}
