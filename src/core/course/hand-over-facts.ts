import type { Foot } from '../model/course-events.js';
import type { Sign, Urgency } from '../model/signs.js';
import type { BraceSetting } from './brace-settings.js';
import type { CourseVisit, WearStepSpan } from './course.js';
import type { FootStage } from './history.js';
import type { Phase } from './phases.js';

/** What a local doctor must know when a family goes home: facts only, for a printed page, and one short text. */
export interface HandOver {
  readonly calledInTexts: string;
  readonly phase: Phase;
  readonly feet: readonly HandOverFoot[];
  /** The day the cast that is on must come off, and the last day it may; null: no cast is on. */
  readonly castOff: { readonly on: string; readonly latest: string; readonly isLastCast: boolean } | null;
  /** The brace goes on the day the last cast comes off. Null once the plan of the brace is over. */
  readonly brace: {
    readonly from: string;
    readonly settings: readonly BraceSetting[];
    readonly steps: readonly WearStepSpan[];
  } | null;
  readonly nextVisit: CourseVisit | null;
  readonly watch: readonly WatchFor[];
  readonly callNumber: string;
  readonly emergencyNumber: string;
  /** At most two parts of a text in the default alphabet; names no diagnosis. */
  readonly text: string;
  readonly review: string;
}

export interface HandOverFoot {
  readonly foot: Foot;
  readonly stage: FootStage;
  readonly casts: number;
  readonly firstCast: string | null;
  readonly lastCast: string | null;
  readonly tenotomy: string | null;
  /** The last angles noted, with the day and which angle; null: none noted. */
  readonly held: {
    readonly abduction: number | null;
    readonly abductionAngle: string | null;
    readonly dorsiflexion: number | null;
    readonly on: string;
  } | null;
}

export interface WatchFor {
  readonly sign: Sign;
  readonly urgency: Urgency;
  readonly source: string;
}
