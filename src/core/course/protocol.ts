import { z } from 'zod';
import { CHECK_INS, REMINDERS } from '../model/texts.js';
import { readClock } from '../time/zone-offsets.js';
import { duration, isForward } from './duration.js';

/** A treatment protocol as a clinic writes it in `flows/protocols/*.yaml`. Every number names its source. */

const source = z
  .string('expected the published source, or "common practice, no source", or "from memory"')
  .min(10);
const days = (from: number, to: number) =>
  z.int('expected whole days').min(from, `expected ${from} to ${to}`).max(to, `expected ${from} to ${to}`);
const forward = duration.refine(isForward, 'expected a length longer than nothing');
const ordered = <T extends { from: number; to: number }>(range: T) => range.from <= range.to;
const angles = z
  .strictObject({ from: z.number().min(-90).max(90), to: z.number().min(-90).max(90) })
  .refine(ordered, 'expected "from" not above "to"');
const hours = z
  .strictObject({ from: z.number().min(0).max(24), to: z.number().min(0).max(24) })
  .refine(ordered, 'expected "from" not above "to"');
/** Days a visit may lie before and after its target. */
const window = z.strictObject({ before: days(0, 200), after: days(0, 200) });
export type Window = z.infer<typeof window>;

const casting = z.strictObject({
  /** First visit: target age in days and the latest; counted from term for a child born early. */
  start: z.strictObject({ targetDays: days(0, 400), latestDays: days(0, 400), source }),
  interval: z.strictObject({ days: days(1, 28), window, source }),
  expectedCasts: z.strictObject({ plan: days(1, 20), usualFrom: days(1, 20), usualTo: days(1, 30), source }),
  /** From this many casts on, ask a senior why. */
  askWhyFrom: z.strictObject({ casts: days(2, 40), source }),
  abductionPerCast: z.strictObject({ degrees: angles, source }),
  abductionAim: z.strictObject({ degrees: angles, angle: z.enum(['thigh-foot', 'leg-foot']), source }),
  tenotomyBelowDorsiflexion: z.strictObject({ degrees: z.number().min(-30).max(40), source }),
  /** A cast older than this is an urgent matter: a forgotten cast harms. */
  castAgeLimit: z.strictObject({ days: days(3, 60), source }),
});

const lastCast = z.strictObject({
  stay: z.strictObject({ days: days(7, 60), window, source }),
  ageLimit: z.strictObject({ days: days(7, 90), source }),
});

const wearStep = z.strictObject({
  phase: z.enum(['brace-day', 'brace-night'], 'expected brace-day (full-time) or brace-night (sleep-time)'),
  hours,
  lasts: forward.optional(),
  untilAge: forward.optional(),
  source,
});
export type WearStep = z.infer<typeof wearStep>;

const resizeStep = z.strictObject({ untilAge: forward, every: forward });
const setting = z.strictObject({ treated: angles, other: angles, source });

const brace = z.strictObject({
  steps: z.array(wearStep).min(1, 'expected at least one step'),
  settings: setting,
  /** Half-size growth of the shoe by age. */
  resize: z.strictObject({ steps: z.array(resizeStep).min(1), source }),
});

const series = z.strictObject({
  kind: z.enum(['brace-check', 'review']),
  /** Once, this long after the brace was fitted. */
  after: duration.optional(),
  /** Once, at an age: the visit at which the brace ends. Left out when one falls within 30 days before it. */
  atAge: forward.optional(),
  /** Again and again, counted from the visit before in this list, until the age. */
  every: forward.optional(),
  untilAge: forward.optional(),
  window,
  source,
});
export type VisitSeries = z.infer<typeof series>;

export const ANCHORS = ['cast', 'tenotomy', 'cast-off', 'brace', 'night-start', 'birth', 'fitting'] as const;
const textRule = z.strictObject({
  kind: z.enum([...CHECK_INS, ...REMINDERS]),
  anchor: z.enum(
    [...ANCHORS, 'visit', 'missed-visit'],
    `expected one of ${ANCHORS.join(', ')}, visit, missed-visit`,
  ),
  after: duration,
  every: forward.optional(),
  /** With `anchor: fitting`, repeat by the growth table. */
  byGrowth: z.boolean().optional(),
  during: z
    .array(z.enum(['cast', 'tenotomy', 'brace-day', 'brace-night', 'review']))
    .min(1)
    .optional(),
  at: z.string().refine((text) => readClock(text) !== null, 'expected a clock time "HH:MM"'),
  /** The hour matters (the evening of a new cast): the family's chosen hour does not move it. */
  isHourFixed: z.boolean().optional(),
  /** After how many days the text is stale; 0: at the end of that day's sending hours. */
  keepDays: days(0, 14),
  source,
});
export type TextRule = z.infer<typeof textRule>;

const ladder = z.strictObject({
  textDays: z.tuple([days(1, 30), days(1, 60)]),
  personAfterDays: days(1, 90),
});

const visits = z.strictObject({ series: z.array(series).min(1) });
const tracing = z.strictObject({
  cast: ladder,
  brace: ladder,
  makeUp: z.strictObject({ castDays: days(1, 30), braceDays: days(1, 90) }),
  source,
});
/** No visit for so long counts as dropped out, in reports. */
const dropout = z.strictObject({
  castingDays: days(1, 200),
  tenotomyDays: days(1, 200),
  braceMonths: days(1, 36),
  source,
});

const head = {
  name: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'expected lower-case words joined by "-"'),
  title: z.string().min(10, 'expected a sentence'),
  review: z.string().min(10, 'expected who reviewed it, or that nobody has yet'),
};
export const protocolSchema = z.strictObject({
  ...head,
  casting,
  lastCast,
  brace,
  visits,
  tracing,
  dropout,
  texts: z.array(textRule).min(1),
});
export type Protocol = z.infer<typeof protocolSchema>;

/** A protocol as it may stand in a file: with `like`, what is left out is taken from the protocol named. */
export const protocolFileSchema = z.strictObject({
  ...head,
  like: z.string().min(1).optional(),
  casting: casting.partial().optional(),
  lastCast: lastCast.partial().optional(),
  brace: brace.partial().optional(),
  visits: visits.optional(),
  tracing: tracing.partial().optional(),
  dropout: dropout.partial().optional(),
  texts: z.array(textRule).min(1).optional(),
});
export type ProtocolFile = z.infer<typeof protocolFileSchema>;

/** A protocol file laid over the protocol it is like, block by block. Pure; still to be read by `protocolSchema`. */
export function laidOver(base: Protocol | null, file: ProtocolFile): unknown {
  const { like: _, ...own } = file;
  const section = (key: 'casting' | 'lastCast' | 'brace' | 'tracing' | 'dropout') => ({
    ...(base === null ? {} : base[key]),
    ...own[key],
  });
  return {
    ...base,
    ...own,
    casting: section('casting'),
    lastCast: section('lastCast'),
    brace: section('brace'),
    tracing: section('tracing'),
    dropout: section('dropout'),
  };
}
