import type { FlagRaised } from '../core/model/flag.js';
import type { ChildId } from '../core/model/ids.js';
import type { CourseTextKind } from '../core/model/texts.js';
import type { Foot, VisitStatus } from './tables.js';

/** One thing that happened to the child; further fields as the course defines them (feet, number, kind). */
export interface CourseEvent {
  readonly type: string;
  /** ISO date in the clinic's zone. */
  readonly date: string;
  readonly [field: string]: unknown;
}

/** A child's record as the course reads it. */
export interface ChildRecord {
  readonly child: {
    readonly id: ChildId;
    readonly born: string;
    readonly feet: readonly Foot[];
    readonly weeksEarly: number;
    /** ISO date from which this clinic knows the child. */
    readonly enrolled: string;
  };
  readonly clinic: {
    readonly timeZone: string;
    readonly clinicDays: readonly string[];
    readonly holidays: readonly string[];
    readonly sendingFrom: string;
    readonly sendingTo: string;
    readonly opens: string;
    readonly closes: string;
    readonly staffDays: readonly string[];
  };
  readonly protocol: string;
  /** By date, then by when they were recorded. */
  readonly events: readonly CourseEvent[];
  /** Local clock time "HH:MM" at which the family wants its texts; null: the kind's own hour. */
  readonly chosenHour: string | null;
}

export interface CourseVisit {
  readonly kind: string;
  /** ISO dates in the clinic's zone. */
  readonly due: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly status: VisitStatus;
}

export interface CourseText {
  readonly kind: CourseTextKind;
  /** What it is about, unique per child and kind: the date of the visit or event it belongs to. */
  readonly forWhat: string;
  /** Instants in ms. After `expiresAt` it must not go. */
  readonly dueAt: number;
  readonly expiresAt: number;
}

export interface CourseAlert {
  readonly flag: FlagRaised;
  /** Instant (ms) by which a person must have acted. */
  readonly dueAt: number;
}

export interface CoursePlan {
  readonly phase: string;
  readonly visits: readonly CourseVisit[];
  /** Every text of the course whose `dueAt` lies before `until` and which is not stale at `now`. */
  readonly texts: readonly CourseText[];
  /** What a person must judge about the course itself (a due date no clinic day can meet, a missed visit). */
  readonly alerts: readonly CourseAlert[];
  /** The instant (ms) at which it changes by the passing of time alone, if that lies before `until`; else null. */
  readonly nextChange: number | null;
}

/** The pure course: the same record and instants (ms) give the same plan. */
export type PlanCourse = (record: ChildRecord, now: number, until: number) => CoursePlan;
