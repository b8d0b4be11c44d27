import type { Actor } from './audit.js';
import type { PlanCourse } from './course-record.js';

/** What a change of a child's record needs besides the change: who, when, and the pure course to plan with. */
export interface Change {
  readonly by: Actor;
  readonly now: number;
  readonly plan: PlanCourse;
  /** How far ahead texts are written down, in ms. */
  readonly aheadMs: number;
}
