import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  type Intent,
  type ReadingPhase,
  type Sign,
  URGENCIES,
  type Urgency,
} from '../../../src/core/model/signs.js';
import { triage } from '../../../src/core/triage/triage.js';
import { child, NOW, reading, rules } from '../conversation/family.js';

/** Texts of families labelled by others, beside the project when it was built. */
const FILE = fileURLToPath(new URL('../../../../shared/replies/sample.jsonl', import.meta.url));
const isThere = existsSync(FILE);

interface Labelled {
  readonly id: string;
  readonly text: string;
  readonly phase: ReadingPhase;
  readonly signs: readonly Sign[];
  readonly denied: readonly Sign[];
  readonly hours: number | readonly [number, number] | null;
  readonly intent: Intent | null;
  readonly urgency: readonly [Urgency, Urgency];
}

function rowsOf(): Labelled[] {
  return readFileSync(FILE, 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Labelled);
}

/** Whether blood is real bleeding or a stain is the reader's to tell; the labels carry it in their urgency. */
function readAs({ signs, urgency }: Labelled): Urgency {
  return signs.includes('bleeding') && urgency[0] === 'now' ? 'now' : 'none';
}

describe.skipIf(!isThere)('texts labelled by others (skipped where the labelled file is absent)', () => {
  it('are judged within the urgencies their labels allow, neither under nor over', () => {
    const rank = (urgency: Urgency) => URGENCIES.indexOf(urgency);
    const wrong = rowsOf().flatMap((row) => {
      const isCast = row.phase === 'cast' || row.phase === 'tenotomy';
      const days = { castDay: isCast ? 3 : null, tenotomyDay: row.phase === 'tenotomy' ? 3 : null };
      const { signs, denied, hours, intent, phase } = row;
      const [top] = triage(rules, {
        reading: reading(row.text, { signs, denied, hours, intent, urgency: readAs(row) }),
        text: row.text,
        child: child({ phase, ...days, wearTargetHours: isCast ? null : 12, born: '2025-06-01' }),
        clinic: { timeZone: 'UTC' },
        openMatters: [],
        now: NOW,
      });
      const urgency = top?.urgency ?? 'none';
      const isWithin = rank(urgency) >= rank(row.urgency[0]) && rank(urgency) <= rank(row.urgency[1]);
      return isWithin ? [] : [`${row.id}: ${urgency}, labelled ${row.urgency.join(' to ')}`];
    });
    expect(wrong).toEqual([]);
  });
});
