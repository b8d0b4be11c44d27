import type { TriageRule, TriageRules } from './rules.js';

/** Why a rule says what it says, for a page: the last links of the chain from words to rule to urgency. */
export interface ExplainedRule {
  readonly id: string;
  readonly urgency: TriageRule['urgency'];
  readonly limitMinutes: number;
  /** What must hold, in words. */
  readonly when: readonly string[];
  readonly sources: readonly string[];
  /** What other published advice says, where leaflets disagree. */
  readonly alternative: string | null;
  /** Whether clinicians have looked at the rules. */
  readonly review: string;
}

/** The rule behind a flag, explained; null for a flag that came from elsewhere (a gap in the course, a gateway). Pure. */
export function explainRule(rules: TriageRules, id: string): ExplainedRule | null {
  const rule = rules.rules.find((one) => one.id === id);
  if (!rule) return null;
  return {
    id,
    urgency: rule.urgency,
    limitMinutes: rule.limit ?? rules.limits[rule.urgency],
    when: conditionInWords(rule),
    sources: rule.source.map((key) => rules.sources[key] ?? key),
    alternative: rule.alternative?.trim() ?? null,
    review: rules.review,
  };
}

function conditionInWords({ when }: TriageRule): string[] {
  const words: (string | null)[] = [
    when['by-name-only'] ? 'an answer or a silence that names this rule' : null,
    listed('one of', when.any),
    listed('all of', when.all),
    listed('together with one of', when.with),
    listed('without', when.without),
    listed('in the phase', when.phases),
    listed('the wish', when.intents),
    when.months &&
      `age ${when.months.from}${when.months.under === null ? ' or more' : ` to under ${when.months.under}`} months`,
    range('day of the phase', when['day-in-phase']),
    range('day of the cast', when['cast-day']),
    range('day after the tenotomy', when['tenotomy-day']),
    when.again && `told on ${when.again.times} days within ${when.again['within-days']}`,
    when.still &&
      `told already more than ${when.still.after} minutes ago and not over ${when.still.within} minutes ago`,
    when['fever-from'] === null ? null : `measured ${when['fever-from']} °C or more, or not measured`,
    when['read-as'] && `the words read as ${when['read-as'] === 'now' ? 'urgent' : 'less than urgent'}`,
    when['hours-below'] === null ? null : `fewer than ${when['hours-below']} hours`,
    when['understood-below'] === null ? null : 'nothing a person could act on was understood',
  ];
  return words.filter((one) => one !== null);
}

function listed(what: string, names: readonly string[]): string | null {
  return names.length === 0 ? null : `${what} ${names.join(', ')}`;
}

function range(what: string, days: { from: number; to: number | null } | null): string | null {
  if (days === null) return null;
  return days.to === null ? `${what} ${days.from} or later` : `${what} ${days.from} to ${days.to}`;
}
