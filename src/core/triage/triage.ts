import type { ChildFacts, ClinicFacts, OpenMatter } from '../model/family.js';
import type { FlagRaised } from '../model/flag.js';
import type { Reading } from '../model/reading.js';
import { type Sign, URGENCIES } from '../model/signs.js';
import { holds, type Situation, signsBehind } from './condition.js';
import { fillForNurse } from './nurse-wording.js';
import { riskOf } from './risk.js';
import { ruleNamed, type TriageRule, type TriageRules } from './rules.js';
import { readTemperature } from './temperature.js';

export interface TriageInput {
  readonly reading: Reading;
  /** The text itself, for a temperature; without it only the sign `fever` counts. */
  readonly text?: string;
  /** Null: an unknown number. Everything about the child then counts as fitting. */
  readonly child: ChildFacts | null;
  readonly clinic: Pick<ClinicFacts, 'timeZone'>;
  readonly openMatters: readonly OpenMatter[];
  readonly now: number;
  /** Rules raised by name: an answer of a check-in, a silence. */
  readonly byName?: readonly string[];
}

/** A flag with the rule it came from, for whoever must also know what to text or ask. */
export interface Finding {
  readonly flag: FlagRaised;
  readonly rule: TriageRule;
  /** The reader judged the text more urgent than the rule does. */
  readonly isLifted: boolean;
}

/**
 * What a person must be told of, one flag per matter, most urgent first; empty when nobody need look.
 *
 * Every rule that holds is considered; within a matter the most urgent wins and collects the signs of the others.
 * A death leaves only its own flag. When the reader judged the text more urgent than every rule, the first flag is
 * lifted to the reader's urgency: rules and reader may each raise, neither may lower. Pure.
 */
export function triage(rules: TriageRules, input: TriageInput): FlagRaised[] {
  return findings(rules, input).map(({ flag }) => flag);
}

/** As `triage`, each flag with its rule. */
export function findings(rules: TriageRules, input: TriageInput): Finding[] {
  const situation: Situation = {
    reading: input.reading,
    child: input.child,
    zone: input.clinic.timeZone,
    temperature: temperatureOf(input),
    now: input.now,
  };
  const named = (input.byName ?? []).map((id) => ruleNamed(rules, id));
  const holding = [...named, ...rules.rules.filter((rule) => holds(rule.when, situation))];
  const died = holding.find((rule) => rule.matter === 'died');
  const told = died ? [died] : withoutAskingBeside(holding);
  const found = onePerMatter(told).map((group) => raise(rules, group, situation, input));
  return liftToReader(rules, found, situation, input).sort(byUrgency);
}

/** "His toes are blue, what do I do?" is one trouble: whoever sees to it answers the question too. */
function withoutAskingBeside(rules: readonly TriageRule[]): readonly TriageRule[] {
  const others = rules.filter(({ matter }) => matter !== 'request');
  const isMet = (one: TriageRule) => others.some((other) => rankOf(other.urgency) >= rankOf(one.urgency));
  return rules.filter((one) => one.matter !== 'request' || !isMet(one));
}

function temperatureOf({ reading, text, byName }: TriageInput): number | null {
  const isAboutFever = reading.signs.includes('fever') || (byName ?? []).some((id) => id.includes('fever'));
  return text !== undefined && isAboutFever ? readTemperature(text) : null;
}

/** Rules by matter, the most urgent first in each; the order of the file decides ties. */
function onePerMatter(rules: readonly TriageRule[]): TriageRule[][] {
  const groups = new Map<string, TriageRule[]>();
  for (const rule of rules) groups.set(rule.matter, [...(groups.get(rule.matter) ?? []), rule]);
  return [...groups.values()].map((group) => group.toSorted((a, b) => rankOf(b.urgency) - rankOf(a.urgency)));
}

function raise(
  rules: TriageRules,
  group: readonly TriageRule[],
  situation: Situation,
  input: TriageInput,
): Finding {
  const [rule] = group;
  if (!rule) throw new Error('a matter without a rule cannot be raised');
  const signs = orderedUnion(group.map((one) => signsBehind(one.when, situation.reading)));
  const words = { signs, child: input.child, reading: situation.reading, temperature: situation.temperature };
  const flag: FlagRaised = {
    matter: rule.matter,
    urgency: rule.urgency,
    rule: rule.id,
    reason: fillForNurse(rule.reason, words),
    nextStep: fillForNurse(rule.next, words),
    risk: riskOf(rule, signs, situation, input.openMatters),
    limitMinutes: rule.limit ?? rules.limits[rule.urgency],
    signs,
    evidence: situation.reading.evidence.filter(({ sign }) => signs.includes(sign)),
  };
  return { flag, rule, isLifted: false };
}

function liftToReader(
  rules: TriageRules,
  found: readonly Finding[],
  situation: Situation,
  input: TriageInput,
): Finding[] {
  const wanted = input.reading.urgency;
  const isMet = found.some(({ flag }) => rankOf(flag.urgency) >= URGENCIES.indexOf(wanted));
  if (wanted === 'none' || isMet || found.some(({ flag }) => flag.matter === 'died')) return [...found];
  if (hasOwnStep(input.reading)) return [...found];
  const known = found.filter(({ rule }) => rule.when['understood-below'] === null);
  const [first, ...rest] = known.toSorted(byUrgency);
  if (!first)
    return [raise(rules, [atUrgency(ruleNamed(rules, 'reader-alarmed'), wanted)], situation, input)];
  const reason = `${first.flag.reason} The wording made it more urgent than this sign alone.`;
  const limitMinutes = Math.min(first.flag.limitMinutes, rules.limits[wanted]);
  const flag = { ...first.flag, urgency: wanted, reason, limitMinutes };
  return [{ flag, rule: atUrgency(first.rule, wanted), isLifted: true }, ...rest];
}

/** "STOP" and "wrong number" are understood: the conversation raises their flags by name. */
function hasOwnStep({ signs, intent, urgency }: Reading): boolean {
  return signs.length === 0 && urgency === 'soon' && (intent === 'stop' || intent === 'wrong-number');
}

function atUrgency(rule: TriageRule, urgency: TriageRule['urgency']): TriageRule {
  const family = urgency === 'now' && rule.urgency !== 'now' ? 'go-now' : rule.family;
  return { ...rule, urgency, family };
}

function orderedUnion(lists: readonly (readonly Sign[])[]): Sign[] {
  return [...new Set(lists.flat())];
}

function rankOf(urgency: TriageRule['urgency']): number {
  return URGENCIES.indexOf(urgency);
}

function byUrgency(a: Finding, b: Finding): number {
  return rankOf(b.flag.urgency) - rankOf(a.flag.urgency) || b.flag.risk - a.flag.risk;
}
