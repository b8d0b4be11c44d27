import type { TriageRule, TriageRules } from './rules.js';

/** One published danger sign: a text that reports it, what follows, and the sources. */
export interface DangerRow {
  readonly sign: string;
  readonly example: string;
  readonly rule: TriageRule;
  readonly limitMinutes: number;
  readonly sources: readonly string[];
}

/** The danger signs of the rules, most urgent first, in the order of the file within an urgency. */
export function dangerRows(rules: TriageRules): DangerRow[] {
  const order = { now: 0, today: 1, soon: 2 };
  return rules.rules
    .flatMap((rule) =>
      rule['danger-sign'] === null
        ? []
        : [
            {
              sign: rule['danger-sign'],
              example: rule.example ?? 'by a listed answer',
              rule,
              limitMinutes: rule.limit ?? rules.limits[rule.urgency],
              sources: rule.source.map((key) => rules.sources[key] ?? key),
            },
          ],
    )
    .toSorted((a, b) => order[a.rule.urgency] - order[b.rule.urgency]);
}

/** The table as Markdown, with the sources and what others advise beneath it. */
export function dangerTable(rules: TriageRules): string {
  const rows = dangerRows(rules);
  const lines = rows.map(({ sign, example, rule, limitMinutes }, index) => {
    const clock = rule.urgency === 'now' ? 'by the clock' : 'of clinic hours';
    return `| ${index + 1} | ${sign} | ${example} | ${rule.urgency} | ${inWords(limitMinutes)} ${clock} | \`${rule.id}\` |`;
  });
  const notes = rows.map(({ rule, sources }, index) => {
    const other = rule.alternative === null ? '' : ` Others: ${rule.alternative.trim()}`;
    return `${index + 1}. ${sources.join('; ')}.${other}`;
  });
  return [
    '| | Danger sign | A text that reports it | Urgency | A person acts within | Rule |',
    '| --- | --- | --- | --- | --- | --- |',
    ...lines,
    '',
    'Sources, and what others advise:',
    '',
    ...notes,
    '',
  ].join('\n');
}

function inWords(minutes: number): string {
  if (minutes % 60 === 0) return `${minutes / 60} h`;
  return `${minutes} min`;
}
