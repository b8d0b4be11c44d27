import type { Reading } from '../model/reading.js';
import {
  type Asked,
  type Intent,
  type ReadingPhase,
  SIGNS,
  type Sign,
  URGENCIES,
  type Urgency,
} from '../model/signs.js';

/** A text with what a person says it means. */
export interface LabelledText {
  readonly id: string;
  readonly lang: string;
  readonly phase: ReadingPhase;
  readonly asked: Asked;
  readonly text: string;
  readonly signs: readonly Sign[];
  readonly denied: readonly Sign[];
  readonly hours: Reading['hours'];
  readonly intent: Intent | null;
  /** Lowest and highest acceptable urgency. */
  readonly urgency: readonly [Urgency, Urgency];
}

export interface SignCounts {
  right: number;
  missed: number;
  wrong: number;
}

/** Counts of one language, or of all. */
export interface Score {
  texts: number;
  nowLabelled: number;
  nowCaught: number;
  todayLabelled: number;
  todayCaught: number;
  /** Read below the lowest acceptable urgency. */
  under: number;
  /** Read above the highest acceptable urgency. */
  over: number;
  /** Texts that may be `none`, and those of them read as today or now. */
  fineLabelled: number;
  fineRaised: number;
  signsExact: number;
  deniedExact: number;
  hoursRight: number;
  hoursLabelled: number;
  hoursLabelledRight: number;
  intentRight: number;
  allRight: number;
  readonly bySign: Map<Sign, SignCounts>;
}

export interface Miss {
  readonly row: LabelledText;
  readonly reading: Reading;
  readonly faults: readonly string[];
}

export function emptyScore(): Score {
  return {
    texts: 0,
    nowLabelled: 0,
    nowCaught: 0,
    todayLabelled: 0,
    todayCaught: 0,
    under: 0,
    over: 0,
    fineLabelled: 0,
    fineRaised: 0,
    signsExact: 0,
    deniedExact: 0,
    hoursRight: 0,
    hoursLabelled: 0,
    hoursLabelledRight: 0,
    intentRight: 0,
    allRight: 0,
    bySign: new Map(SIGNS.map((sign) => [sign, { right: 0, missed: 0, wrong: 0 }])),
  };
}

const rank = (urgency: Urgency): number => URGENCIES.indexOf(urgency);

function sameSet(one: readonly string[], other: readonly string[]): boolean {
  return one.length === other.length && one.every((value) => other.includes(value));
}

function sameHours(one: Reading['hours'], other: Reading['hours']): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** Compares one reading with its label, adds it to the score and tells what was wrong. */
export function addToScore(score: Score, row: LabelledText, reading: Reading): Miss | null {
  const faults: string[] = [];
  const [low, high] = row.urgency;
  const read = rank(reading.urgency);
  score.texts += 1;
  if (low === 'now') {
    score.nowLabelled += 1;
    if (reading.urgency === 'now') score.nowCaught += 1;
  }
  if (rank(low) >= rank('today')) {
    score.todayLabelled += 1;
    if (read >= rank('today')) score.todayCaught += 1;
  }
  if (read < rank(low)) {
    score.under += 1;
    faults.push(`UNDER ${reading.urgency} < ${low}`);
  }
  if (read > rank(high)) {
    score.over += 1;
    faults.push(`over ${reading.urgency} > ${high}`);
  }
  if (low === 'none') {
    score.fineLabelled += 1;
    if (read >= rank('today')) score.fineRaised += 1;
  }
  countSigns(score, row, reading, faults);
  if (sameHours(row.hours, reading.hours)) score.hoursRight += 1;
  else faults.push(`hours ${JSON.stringify(reading.hours)} not ${JSON.stringify(row.hours)}`);
  if (row.hours !== null) {
    score.hoursLabelled += 1;
    if (sameHours(row.hours, reading.hours)) score.hoursLabelledRight += 1;
  }
  if (row.intent === reading.intent) score.intentRight += 1;
  else faults.push(`intent ${reading.intent} not ${row.intent}`);
  if (faults.length === 0) score.allRight += 1;
  return faults.length === 0 ? null : { row, reading, faults };
}

function countSigns(score: Score, row: LabelledText, reading: Reading, faults: string[]): void {
  for (const [sign, counts] of score.bySign) {
    const isLabelled = row.signs.includes(sign);
    const isRead = reading.signs.includes(sign);
    if (isLabelled && isRead) counts.right += 1;
    else if (isLabelled) {
      counts.missed += 1;
      faults.push(`missed ${sign}`);
    } else if (isRead) {
      counts.wrong += 1;
      faults.push(`wrong ${sign}`);
    }
  }
  if (sameSet(row.signs, reading.signs)) score.signsExact += 1;
  if (sameSet(row.denied, reading.denied)) score.deniedExact += 1;
  else faults.push(`denied [${reading.denied.join(' ')}] not [${row.denied.join(' ')}]`);
}
