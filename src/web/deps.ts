import type { FlagOutcome } from '../core/model/flag.js';
import type { Clock } from '../core/time/clock.js';
import type { Gateway, InboundSink } from '../gateways/gateway.js';
import type { NextEvent, StaffRow } from '../store/views/types.js';
import type { Views } from '../store/views/views.js';
import type { Sessions } from './sessions.js';
import type { Words } from './wording.js';

/** Who does it, to which flag, when (ms). `clinicId` null: staff of all clinics. */
export interface FlagDeed {
  readonly flagId: string;
  readonly staffId: string;
  readonly now: number;
}

/** `gone`: closed meanwhile. `by`: the name of whoever has it. */
export type FlagAnswer =
  | { readonly kind: 'done' }
  | { readonly kind: 'taken-by-other'; readonly by: string }
  | { readonly kind: 'gone' };

/** What staff do with a flag. Each is one transaction with its history and audit rows. */
export interface FlagWork {
  take(deed: FlagDeed): Promise<FlagAnswer>;
  handOver(deed: FlagDeed & { readonly toStaffId: string; readonly note: string }): Promise<FlagAnswer>;
  note(deed: FlagDeed & { readonly note: string }): Promise<FlagAnswer>;
  close(deed: FlagDeed & { readonly outcome: FlagOutcome; readonly note: string }): Promise<FlagAnswer>;
}

/** One-time links. */
export interface SignInLinks {
  /** The member of staff the link was made for, once; null when it was used, is too old or never was. */
  use(token: string, now: number): Promise<{ readonly staffId: string } | null>;
}

/** Somebody looked at or changed something. Never holds a family's words. */
export interface AuditLine {
  readonly actor: string;
  readonly action: string;
  readonly subject: string;
  readonly clinicId: string | null;
  readonly detail?: Readonly<Record<string, unknown>>;
  readonly now: number;
}

export interface HealthLine {
  readonly part: string;
  readonly isWell: boolean;
  readonly words: string;
}

/** A phone of the pretend network. */
export interface DemoPhone {
  readonly number: string;
  readonly texts: number;
  readonly lastAt: number | null;
  readonly lastBody: string | null;
}

export interface DemoText {
  readonly direction: 'in' | 'out';
  readonly body: string;
  readonly at: number;
}

/** What only a demonstration has: phones to hold and a clock to move. */
export interface Demo {
  phones(): Promise<readonly DemoPhone[]>;
  /** The texts of one phone, oldest first. `in`: the family got it; `out`: the family wrote it. */
  phone(number: string): Promise<readonly DemoText[]>;
  /** Sends a text from this phone, as the family would; resolves when the network took it. */
  write(number: string, body: string): Promise<void>;
  /** Moves the clock forward to an instant (ms) and waits until what was due by then has been done. */
  moveClockTo(at: number): Promise<void>;
  /** A fresh one-time link for a visitor, as a path. */
  signInPath?(): Promise<string>;
}

export interface WebConfig {
  /** Public address without a trailing slash; signatures of providers cover it. */
  readonly publicUrl: string;
  /** Bytes of a provider's request that are kept; what is longer is answered 413. Default 128 KiB. */
  readonly hookLimitBytes?: number;
  /** Flags on one page of the queue; default 20. */
  readonly queuePageSize?: number;
}

/** Everything the pages and webhooks need from the rest. */
export interface WebDeps {
  readonly views: Views;
  readonly flags: FlagWork;
  readonly signInLinks: SignInLinks;
  readonly audit: (line: AuditLine) => Promise<void>;
  readonly clock: Clock;
  readonly sessions: Sessions;
  readonly gateways: ReadonlyMap<string, Gateway>;
  /**
   * Where what a gateway brings is put. Resolves once it is stored; putting it in the queue for reading must not
   * fail it, since whatever is stored and unread is found again.
   */
  readonly inbound: (gateway: string) => InboundSink;
  readonly languages: ReadonlyMap<string, Words>;
  readonly health: () => Promise<readonly HealthLine[]>;
  readonly config: WebConfig;
  readonly note: (words: string, detail?: unknown) => void;
  readonly demo?: Demo;
}

export type { NextEvent, StaffRow };
