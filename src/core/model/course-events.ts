import { z } from 'zod';
import { readDay, WEEKDAYS } from '../time/calendar-days.js';
import { isTimeZone, readClock } from '../time/zone-offsets.js';

/** Shapes of what a course is computed from. Strict: an unknown key is a fault, never dropped in silence. */

export const FEET = ['left', 'right'] as const;
export type Foot = (typeof FEET)[number];

export const VISIT_KINDS = [
  'first-visit',
  'cast-change',
  'tenotomy',
  'cast-removal',
  'brace-check',
  'review',
] as const;
export type VisitKind = (typeof VISIT_KINDS)[number];

const isoDate = z
  .string('expected a date "YYYY-MM-DD"')
  .refine((text) => readDay(text) !== null, 'expected a date "YYYY-MM-DD" that exists in the calendar');
const foot = z.enum(FEET, 'expected "left" or "right"');
const feetList = z
  .array(foot, 'expected a list of "left", "right" or both')
  .min(1, 'expected at least one foot')
  .refine((feet) => new Set(feet).size === feet.length, 'expected each foot once');
const clock = z
  .string('expected a clock time "HH:MM"')
  .refine((text) => readClock(text) !== null, 'expected a clock time "HH:MM" from "00:00" to "24:00"');
const sign = z.union([z.literal(0), z.literal(0.5), z.literal(1)], 'expected 0, 0.5 or 1');
const visitKind = z.enum(VISIT_KINDS, `expected one of ${VISIT_KINDS.join(', ')}`);
const note = z.string('expected a text').max(500, 'expected at most 500 characters').optional();

/** The six signs of Dyer PJ, Davis N. J Bone Joint Surg Br 2006;88-B(8), doi 10.1302/0301-620X.88B8.17482. */
export const piraniSigns = z.strictObject({
  posteriorCrease: sign,
  emptyHeel: sign,
  rigidEquinus: sign,
  curvedLateralBorder: sign,
  medialCrease: sign,
  lateralHeadOfTalus: sign,
});
export type PiraniSigns = z.infer<typeof piraniSigns>;

const fourPoints = z
  .int('expected a whole number 0 to 4')
  .min(0, 'expected 0 to 4')
  .max(4, 'expected 0 to 4');
/** Eight parameters of Dimeglio A et al. J Pediatr Orthop B 1995;4:129-136. */
export const dimeglioParts = z.strictObject({
  equinus: fourPoints,
  varus: fourPoints,
  derotation: fourPoints,
  adduction: fourPoints,
  posteriorCrease: z.boolean('expected true or false'),
  medialCrease: z.boolean('expected true or false'),
  cavus: z.boolean('expected true or false'),
  poorMuscle: z.boolean('expected true or false'),
});
export type DimeglioParts = z.infer<typeof dimeglioParts>;

const PIRANI = 'expected a total from 0 to 6 in steps of 0.5, or the six signs, each 0, 0.5 or 1';
const pirani = z.union(
  [
    z.number(PIRANI).refine((score) => score >= 0 && score <= 6 && Number.isInteger(score * 2), PIRANI),
    piraniSigns,
  ],
  PIRANI,
);
const DIMEGLIO = 'expected a total from 0 to 20, or the eight parts';
const dimeglio = z.union(
  [
    z.number(DIMEGLIO).refine((score) => score >= 0 && score <= 20 && Number.isInteger(score), DIMEGLIO),
    dimeglioParts,
  ],
  DIMEGLIO,
);

/** What was found on one foot at one visit. Angles in degrees. */
export const footFindings = z.strictObject({
  /** Outward turn of the foot. The same foot reads about 20 degrees apart by the two ways of measuring: say which. */
  abduction: z
    .number('expected degrees')
    .min(-90, 'expected -90 to 90')
    .max(90, 'expected -90 to 90')
    .optional(),
  abductionAngle: z.enum(['thigh-foot', 'leg-foot'], 'expected "thigh-foot" or "leg-foot"').optional(),
  dorsiflexion: z
    .number('expected degrees')
    .min(-90, 'expected -90 to 60')
    .max(60, 'expected -90 to 60')
    .optional(),
  pirani: pirani.optional(),
  dimeglio: dimeglio.optional(),
  /** Who scored; two scorers differ by more than one does with himself. */
  scorer: z.string().min(1).max(80).optional(),
  isCavusCorrected: z.boolean('expected true or false').optional(),
  /** Short stubby foot, full-width crease, short raised big toe, all metatarsals down. */
  hasComplexFeatures: z.boolean('expected true or false').optional(),
  hasSlipped: z.boolean('expected true or false').optional(),
});
export type FootFindings = z.infer<typeof footFindings>;

const findingsByFoot = z.strictObject({ left: footFindings.optional(), right: footFindings.optional() });

const where = z.enum(['here', 'elsewhere', 'home'], 'expected "here", "elsewhere" or "home"').optional();

export const courseEvent = z.discriminatedUnion(
  'type',
  [
    z.strictObject({
      type: z.literal('cast'),
      date: isoDate,
      number: z
        .int('expected a whole number from 1 on')
        .min(1, 'expected 1 or more')
        .max(60, 'expected at most 60'),
      /** Which feet were cast and what was found on each; left out: every treated foot. */
      feet: findingsByFoot.optional(),
      where,
      note,
    }),
    z.strictObject({ type: z.literal('tenotomy'), date: isoDate, feet: feetList.optional(), where, note }),
    z.strictObject({
      type: z.literal('cast-removed'),
      date: isoDate,
      feet: feetList.optional(),
      where,
      note,
    }),
    /** A brace fitted, or fitted anew (bigger shoes) while the child is in brace. */
    z.strictObject({ type: z.literal('brace'), date: isoDate, feet: feetList.optional(), where, note }),
    z.strictObject({
      type: z.literal('visit'),
      date: isoDate,
      kind: visitKind.optional(),
      feet: findingsByFoot.optional(),
      where,
      note,
    }),
    z.strictObject({ type: z.literal('missed'), date: isoDate, kind: visitKind.optional(), note }),
    /** The cast slid or the toes went out of sight. */
    z.strictObject({ type: z.literal('slipped'), date: isoDate, feet: feetList.optional(), note }),
    /** A clinician judged that the deformity is coming back. */
    z.strictObject({ type: z.literal('relapse'), date: isoDate, feet: feetList.optional(), note }),
    z.strictObject({ type: z.literal('transferred-in'), date: isoDate, note }),
    z.strictObject({ type: z.literal('transferred-out'), date: isoDate, note }),
    z.strictObject({ type: z.literal('discharged'), date: isoDate, note }),
    /** Taken on again after a discharge or transfer. */
    z.strictObject({ type: z.literal('readmitted'), date: isoDate, note }),
  ],
  'expected an event with a "type" of cast, tenotomy, cast-removed, brace, visit, missed, slipped, relapse, transferred-in, transferred-out, discharged or readmitted',
);
export type CourseEvent = z.infer<typeof courseEvent>;
export type CourseEventType = CourseEvent['type'];

export const courseChild = z.strictObject({
  id: z
    .string('expected a text')
    .min(1, 'expected a text that is not empty')
    .max(200, 'expected at most 200 characters'),
  born: isoDate,
  feet: feetList,
  /** Weeks born before 40; only rules that say so use the corrected age. */
  weeksEarly: z.int('expected whole weeks').min(0, 'expected 0 to 18').max(18, 'expected 0 to 18').optional(),
  /** First known to this clinic; a first visit cannot be due before it. */
  enrolled: isoDate.optional(),
  /** The hour the family wants its texts at; texts tied to an hour of their own (the evening of a cast) keep it. */
  textHour: clock.optional(),
});
export type CourseChild = z.infer<typeof courseChild>;

export const courseClinic = z
  .strictObject({
    timeZone: z
      .string('expected a time zone name such as "Africa/Kampala"')
      .refine(isTimeZone, 'expected a name of the IANA time zone database such as "Africa/Kampala"'),
    clinicDays: z
      .array(z.enum(WEEKDAYS, `expected one of ${WEEKDAYS.join(', ')}`), 'expected a list of weekdays')
      .min(1, 'expected at least one weekday')
      .refine((days) => new Set(days).size === days.length, 'expected each weekday once'),
    /** Public holidays and the clinic's own closures, as dates. */
    holidays: z.array(isoDate, 'expected a list of dates'),
    sendingFrom: clock.optional(),
    sendingTo: clock.optional(),
  })
  .refine(
    (clinic) =>
      (readClock(clinic.sendingFrom ?? '08:00') ?? 0) + 60 <= (readClock(clinic.sendingTo ?? '20:00') ?? 0),
    { path: ['sendingTo'], error: 'expected sending hours of at least one hour, the end after the start' },
  );
export type CourseClinic = z.infer<typeof courseClinic>;

/** A checked record; `asOf` is a local date in the clinic's zone. Events may stand in any order. */
export interface CourseInput {
  readonly child: CourseChild;
  readonly clinic: CourseClinic;
  readonly protocol: string;
  readonly events: readonly CourseEvent[];
  readonly asOf: string;
}
