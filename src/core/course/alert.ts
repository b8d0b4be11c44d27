import type { Foot } from '../model/course-events.js';

/** `none`: for the record only; else how soon a person should look. */
export type AlertUrgency = 'none' | 'soon' | 'today' | 'now';

/** Something of the course a person must judge. The course proposes; the treating clinician decides. */
export interface CourseAlert {
  readonly code: string;
  /** One sentence for the nurse: what was found and since when. */
  readonly reason: string;
  /** The published source, or that there is none. */
  readonly source: string;
  readonly urgency: AlertUrgency;
  readonly foot?: Foot;
  /** ISO date from which it holds: with code and foot a stable key. */
  readonly since: string;
}
