import { describe, expect, it } from 'vitest';
import type { ChildFacts } from '../../../src/core/model/family.js';
import { dangerRows } from '../../../src/core/triage/danger-table.js';
import type { TriageRule } from '../../../src/core/triage/rules.js';
import { triage } from '../../../src/core/triage/triage.js';
import { child, DAY, HOUR, NOW, rules } from '../conversation/family.js';
import { read } from '../conversation/real-reader.js';

/** A child the rule is about: in its phase, of its age, on its day, with the history it asks for. */
function fitting({ id, when }: TriageRule): ChildFacts {
  const months = when.months ? when.months.from + 1 : 14;
  const born = new Date(NOW - months * 30.5 * DAY).toISOString().slice(0, 10);
  const phase = when.phases[0] ?? (id.startsWith('cast') ? 'cast' : 'brace-night');
  const isCast = phase === 'cast' || phase === 'tenotomy';
  const [sign] = when.again?.signs ?? when.still?.signs ?? [];
  const ago = when.again ? [2 * DAY, 4 * DAY] : [3 * HOUR];
  const recentSigns = sign ? ago.map((ms) => ({ sign, at: NOW - ms })) : [];
  const castDay = isCast ? (when['cast-day']?.from ?? 0) : null;
  return child({ born, phase, castDay, recentSigns, wearTargetHours: isCast ? null : 12 });
}

describe('the example of each danger sign, through the reader that ships', () => {
  const rows = dangerRows(rules).filter(({ rule }) => rule.example !== null);

  it.each(rows.map(({ rule }) => [rule.id, rule.example ?? '', rule] as const))(
    '%s: "%s"',
    (id, text, rule) => {
      const who = fitting(rule);
      const asked = rule.when['hours-below'] === null ? 'open' : 'hours';
      const flags = triage(rules, {
        reading: read(text, 'en', who.phase, asked),
        text,
        child: who,
        clinic: { timeZone: 'Africa/Nairobi' },
        openMatters: [],
        now: NOW,
      });
      expect(flags.map((flag) => flag.rule)).toContain(id);
      expect(flags.find((flag) => flag.rule === id)?.urgency).toBe(rule.urgency);
    },
  );
});
