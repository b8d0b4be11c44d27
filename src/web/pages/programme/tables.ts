import type { Ask } from '../../page.js';
import { lengthOfTime } from '../../times.js';
import { stayingInCare } from './figures.js';

export const TABLES = ['caseload', 'actions', 'wear', 'answers', 'texts', 'staying'] as const;
export type TableName = (typeof TABLES)[number];

type Cell = string | number | null;

/** One figure of the programme as a table; its picture draws the column `drawn` of every row. */
export interface FigureTable {
  readonly name: TableName;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly Cell[])[];
  /** Which columns make the label of a bar, and which its length. */
  readonly label: readonly number[];
  readonly drawn: number;
  /** Bars end here; null: at the longest. */
  readonly most: number | null;
}

const DAY_MS = 86_400_000;

/** Makes one figure. Heads are words of the pages, so that the file beside the table reads the same. */
export async function makeTable(ask: Ask, name: TableName): Promise<FigureTable> {
  const { words } = ask;
  const where = { clinicId: ask.clinicId, now: ask.now };
  const heads = (...keys: string[]) => keys.map((key) => words.say(`programme.${key}`));
  switch (name) {
    case 'caseload': {
      const rows = await ask.deps.views.caseload(where);
      return {
        name,
        heads: heads('phase', 'children', 'overdue', 'unreachable', 'stopped'),
        rows: rows.map((r) => [
          words.say(`phase.${r.phase}`),
          r.children,
          r.overdue,
          r.unreachable,
          r.stopped,
        ]),
        label: [0],
        drawn: 1,
        most: null,
      };
    }
    case 'actions': {
      const rows = await ask.deps.views.firstActions(where);
      return {
        name,
        heads: heads('urgency', 'flags', 'acted', 'in-time', 'in-time-share', 'median', 'ninth'),
        rows: rows.map((r) => [
          words.say(`urgency.${r.urgency}`),
          r.flags,
          r.acted,
          r.inTime,
          percent(r.inTime, r.flags),
          minutes(r.median, ask),
          minutes(r.ninth, ask),
        ]),
        label: [0],
        drawn: 4,
        most: 100,
      };
    }
    case 'wear': {
      const rows = await ask.deps.views.wearBands(where);
      return {
        name,
        heads: heads('phase', 'hours', 'children'),
        rows: rows.map((r) => [
          words.say(`phase.${r.phase}`),
          r.band === 'silent' ? words.say('child.silent') : r.band,
          r.children,
        ]),
        label: [0, 1],
        drawn: 2,
        most: null,
      };
    }
    case 'answers': {
      const rows = await ask.deps.views.answers(where);
      return {
        name,
        heads: heads('question', 'language', 'sent', 'answered', 'answered-share'),
        rows: rows.map((r) => [r.kind, r.language, r.sent, r.answered, percent(r.answered, r.sent)]),
        label: [0, 1],
        drawn: 4,
        most: 100,
      };
    }
    case 'texts': {
      const rows = await ask.deps.views.textsByMonth(where);
      return {
        name,
        heads: heads('month', 'texts', 'parts', 'delivered', 'failed'),
        rows: rows.map((r) => [r.month, r.texts, r.parts, r.delivered, r.failed]),
        label: [0],
        drawn: 1,
        most: null,
      };
    }
    case 'staying': {
      const { steps } = await stayingInCare(ask);
      return {
        name,
        heads: heads('days', 'at-risk', 'lost', 'staying-share', 'low', 'high'),
        rows: steps.map((s) => [
          s.time,
          s.atRisk,
          s.events,
          round(s.survival * 100),
          s.low === null ? null : round(s.low * 100),
          s.high === null ? null : round(s.high * 100),
        ]),
        label: [0],
        drawn: 3,
        most: 100,
      };
    }
  }
}

function percent(count: number, of: number): number | null {
  return of === 0 ? null : round((count / of) * 100);
}

const round = (value: number) => Math.round(value * 10) / 10;

function minutes(value: number | null, ask: Ask): string | null {
  if (value === null) return null;
  return value * 60_000 < 60_000 && value * 60_000 < DAY_MS
    ? `${round(value)} min`
    : lengthOfTime(value * 60_000, ask.words);
}
