import { findLapse, type Lapse, type WearQuestion } from '../core/course/wear/lapse.js';
import type { ToldWear, WearAim } from '../core/course/wear/wear-record.js';
import { dayOf, isoOf } from '../core/time/calendar-days.js';

/** How soon the lapse rule fires on invented families with stated wear, and how often on families that wear well. */

export interface WearPattern {
  readonly name: string;
  /** Day of the lapse since the fitting; null: this family wears well. */
  readonly lapse: number | null;
  /** True hours on a day. `usual` is this family's own level of that day before any lapse. */
  readonly worn: (day: number, usual: number, lapse: number) => number;
  /** Hours the family tells when asked; null: it does not answer any more. */
  readonly told: (day: number, worn: number, usual: number, lapse: number) => number | null;
}

const FULL_TIME_DAYS = 92;
const DAYS = 548;
const START = dayOf('2026-03-09');
const AIMS: readonly WearAim[] = [
  { hoursFrom: 23, hoursTo: 23, from: isoOf(START), to: isoOf(START + FULL_TIME_DAYS) },
  { hoursFrom: 12, hoursTo: 14, from: isoOf(START + FULL_TIME_DAYS), to: null },
];

/** Told over measured hours by month of the brace: 94.9/91.7, 95.6/86.8, 94.8/77.1 % (Morgenstein 2015), then 1/0.77 (Sangiorgio 2016). */
function overTold(day: number): number {
  if (day < 30) return 1.035;
  if (day < 61) return 1.101;
  return day < FULL_TIME_DAYS ? 1.23 : 1.3;
}

const target = (day: number): number => (day < FULL_TIME_DAYS ? 23 : 12);
/** Nobody tells more than 24 hours, and hardly anybody more than was asked for. */
const tell = (day: number, worn: number): number => Math.min(worn * overTold(day), target(day) + 1);

export const PATTERNS: readonly WearPattern[] = [
  {
    name: 'wears as measured in children who kept the correction',
    lapse: null,
    worn: (_, usual) => usual,
    told: tell,
  },
  {
    name: 'wears as prescribed, tells it as it is',
    lapse: null,
    worn: (day) => target(day) - 0.5,
    told: (_, worn) => worn,
  },
  ...[30, 200].flatMap((lapse): WearPattern[] => [
    {
      name: `stops on day ${lapse}, says so`,
      lapse,
      worn: (day, usual) => (day < lapse ? usual : 0),
      told: (day, worn) => (day < lapse ? tell(day, worn) : 0),
    },
    {
      name: `stops on day ${lapse}, tells half of before`,
      lapse,
      worn: (day, usual) => (day < lapse ? usual : 0),
      told: (day, _, usual) => (day < lapse ? tell(day, usual) : tell(day, usual) / 2),
    },
    {
      name: `stops on day ${lapse}, answers no more`,
      lapse,
      worn: (day, usual) => (day < lapse ? usual : 0),
      told: (day, worn) => (day < lapse ? tell(day, worn) : null),
    },
    {
      name: `fades to 3 hours in eight weeks from day ${lapse}`,
      lapse,
      worn: (day, usual) => (day < lapse ? usual : Math.max(3, usual - ((day - lapse) / 56) * (usual - 3))),
      told: tell,
    },
    {
      name: `stops on day ${lapse}, tells the old hours`,
      lapse,
      worn: (day, usual) => (day < lapse ? usual : 0),
      told: (day, _, usual) => tell(day, usual),
    },
  ]),
];

export interface Rhythm {
  readonly fullTimeDays: number;
  readonly nightDays: number;
}

export interface PatternResult {
  readonly pattern: string;
  readonly answers: number;
  readonly nightDays: number;
  /** Share found within 60 days of the lapse; null: no lapse in this pattern. */
  readonly foundIn60: number | null;
  readonly medianDays: number | null;
  readonly ninetiethDays: number | null;
  /** Flags a family and year raised with no lapse (or before it). */
  readonly falsePerYear: number;
}

/** Runs `families` invented families of one pattern; the same seed gives the same table. */
export function simulatePattern(
  pattern: WearPattern,
  answers: number,
  rhythm: Rhythm,
  families: number,
  seed: number,
): PatternResult {
  const delays: number[] = [];
  let found = 0;
  let falseFlags = 0;
  let soundDays = 0;
  for (let family = 0; family < families; family++) {
    const { raised, standing } = flagsOf(pattern, answers, rhythm, randomFrom(seed + family * 7919));
    const lapse = pattern.lapse ?? DAYS;
    falseFlags += raised.filter((day) => day < lapse).length;
    soundDays += Math.min(lapse, DAYS);
    const first = standing.find((day) => day >= lapse);
    if (first !== undefined) delays.push(first - lapse);
    if (first !== undefined && first - lapse <= 60) found += 1;
  }
  delays.sort((a, b) => a - b);
  // A family never found counts as later than any that was.
  const at = (share: number) => delays[Math.ceil(share * families) - 1] ?? null;
  const isLapsing = pattern.lapse !== null;
  return {
    pattern: pattern.name,
    answers,
    nightDays: rhythm.nightDays,
    foundIn60: isLapsing ? found / families : null,
    medianDays: isLapsing ? at(0.5) : null,
    ninetiethDays: isLapsing ? at(0.9) : null,
    falsePerYear: falseFlags / (soundDays / 365.25),
  };
}

/** Days on which a flag is raised (the same reason is one flag until it is over), and days on which one stands. */
function flagsOf(
  pattern: WearPattern,
  answers: number,
  rhythm: Rhythm,
  random: () => number,
): { raised: number[]; standing: number[] } {
  const told: ToldWear[] = [];
  const questions: WearQuestion[] = [];
  const raised: number[] = [];
  const standing: number[] = [];
  const level = normal(random);
  let open: Lapse['kind'] | null = null;
  for (let day = 7; day < DAYS; day += day < FULL_TIME_DAYS ? rhythm.fullTimeDays : rhythm.nightDays) {
    const usual = usualHours(day, level, random);
    const lapse = pattern.lapse ?? DAYS;
    const hours = pattern.told(day, pattern.worn(day, usual, lapse), usual, lapse);
    const isAnswered = hours !== null && random() < answers;
    questions.push({ date: isoOf(START + day), isAnswered });
    if (isAnswered && hours !== null) {
      const said = Math.max(0, Math.min(24, Math.round(hours)));
      told.push({ date: isoOf(START + day), low: said, high: said });
    }
    const kind = findLapse(told, AIMS, questions)?.kind ?? null;
    // Two days are left for an answer before silence counts.
    const seen = kind === 'silent' ? day + 2 : day;
    if (kind !== null) standing.push(seen);
    if (kind !== null && kind !== open) raised.push(seen);
    open = kind;
  }
  return { raised, standing };
}

/** Quarterly means of children who kept the correction: 19.8, 11.9, 9.6, 8.6, 7.9, 7.7 hours (Richards BS et al., 124 patients). */
const QUARTERS = [19.8, 11.9, 9.6, 8.6, 7.9, 7.7];

/** A family's true hours on a day. Spread between families 2 then 3.5 hours (a third below 6 by 18 months), between days 1.5: our assumption. */
function usualHours(day: number, level: number, random: () => number): number {
  const mean = QUARTERS[Math.min(Math.floor(day / 91.3), QUARTERS.length - 1)] ?? 7.7;
  const spread = day < FULL_TIME_DAYS ? 2 : 3.5;
  return Math.max(0, Math.min(24, mean + level * spread + normal(random) * 1.5));
}

function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** mulberry32, a small generator of the public domain: the same seed gives the same numbers. */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** One row of the table in `core/course/wear/README.md`. */
export function wearRow(r: PatternResult): string {
  const isLapsing = r.foundIn60 !== null;
  const cells = [
    r.pattern,
    `${Math.round(r.answers * 100)} %`,
    `${r.nightDays} days`,
    isLapsing ? `${Math.round((r.foundIn60 ?? 0) * 100)} %` : '-',
    isLapsing ? (r.medianDays ?? 'not found') : '-',
    isLapsing ? (r.ninetiethDays ?? 'not found') : '-',
    r.falsePerYear.toFixed(2),
  ];
  return `| ${cells.join(' | ')} |`;
}

/** The whole table: both answer rates, nights asked monthly and fortnightly. */
export function wearTable(families: number, seed: number): string[] {
  const lines = [
    '| pattern | answered | nights asked every | a flag stands within 60 days | days to it: median | 90 % | false flags a family and year |',
    '| --- | --- | --- | --- | --- | --- | --- |',
  ];
  for (const nightDays of [30, 14])
    for (const answers of [0.7, 0.35])
      for (const pattern of PATTERNS)
        lines.push(
          wearRow(simulatePattern(pattern, answers, { fullTimeDays: 7, nightDays }, families, seed)),
        );
  return lines;
}
