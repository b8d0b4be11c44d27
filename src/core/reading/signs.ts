import { type Asked, INTENTS, type Intent, type ReadingPhase, SIGNS, type Sign } from '../model/signs.js';
import type { CompiledLanguages } from './compile.js';
import type { SignRuleData } from './data.js';
import type { Item } from './match.js';
import { has, type Statement, type Structure } from './structure.js';

export interface Found {
  readonly sign: Sign;
  readonly items: readonly Item[];
}

export interface SignsFound {
  readonly there: readonly Found[];
  readonly denied: readonly Found[];
  readonly over: readonly Found[];
  /** Signs that were only supposed ("what if"). */
  readonly supposed: readonly Found[];
  /** Intents that a state gave ("not come": cannot-come). */
  readonly intents: ReadonlyMap<Intent, Item>;
  /** Good states said. */
  readonly well: readonly Item[];
  /** Bad states whose thing or meaning could not be told, and good states denied. */
  readonly unclear: readonly Item[];
  readonly elsewhere: readonly Item[];
}

export interface Circumstances {
  readonly asked: Asked;
  readonly phase: ReadingPhase | null;
}

type Outcome = Sign | Intent | 'nothing';
const isSign = (outcome: string): outcome is Sign => (SIGNS as readonly string[]).includes(outcome);
const isIntent = (outcome: string): outcome is Intent => (INTENTS as readonly string[]).includes(outcome);

/** Turns statements into signs by the table of rules: a state, and the thing it is a state of. */
export function signsOf(
  compiled: CompiledLanguages,
  structure: Structure,
  circumstances: Circumstances,
): SignsFound {
  const there: Found[] = [];
  const denied: Found[] = [];
  const over: Found[] = [];
  const supposed: Found[] = [];
  const intents = new Map<Intent, Item>();
  const well: Item[] = [];
  const unclear: Item[] = [];
  const elsewhere: Item[] = [];
  for (const statement of structure.statements) {
    const { concept, item, standing } = statement;
    const isGood = concept.kind === 'ability' || concept.kind === 'well';
    if (standing === 'elsewhere') {
      elsewhere.push(item);
      continue;
    }
    const isLost = isGood && standing === 'denied';
    const key = isLost ? `not ${concept.name}` : concept.name;
    const { outcome, part } = outcomeOf(compiled, structure, statement, key, circumstances);
    const items = [item, ...(part ? [part] : []), ...(statement.by ? [statement.by] : [])];
    if (isIntent(outcome)) {
      if (standing !== 'supposed') intents.set(outcome, item);
    } else if (isSign(outcome)) {
      const list =
        standing === 'supposed'
          ? supposed
          : standing === 'over'
            ? over
            : standing === 'denied' && !isLost
              ? denied
              : there;
      list.push({ sign: outcome, items });
    } else if (isGood && !isLost) well.push(item);
    else if ((standing === 'there' || isLost) && !isOfOtherThing(part)) unclear.push(item);
  }
  return { there, denied, over, supposed, intents, well, unclear, elsewhere };
}

/** "the room is cold": a bad state of a thing that is none of ours leaves nothing to ask. */
function isOfOtherThing(part: Item | null): boolean {
  return part !== null && (has(part, 'other-thing') || has(part, 'phone'));
}

function outcomeOf(
  compiled: CompiledLanguages,
  structure: Structure,
  statement: Statement,
  key: string,
  circumstances: Circumstances,
): { outcome: Outcome; part: Item | null } {
  const rules = compiled.rules.get(key) ?? [];
  const usable = rules.filter((rule) => holds(rule, structure, statement, circumstances));
  for (const part of partsAround(structure, statement)) {
    for (const rule of usable)
      if (rule.of?.some((name) => has(part, name)))
        return { outcome: rule.gives, part: part === statement.item ? null : part };
    if (
      (has(part, 'phone') || has(part, 'other-thing')) &&
      Math.abs(part.cellFrom - statement.item.cellFrom) <= 3
    )
      return { outcome: 'nothing', part };
  }
  for (const rule of usable)
    if (rule.unsaid === true || rule.of === undefined) return { outcome: rule.gives, part: null };
  if (rules.length === 0 && isSign(key)) return { outcome: key, part: null };
  return { outcome: 'nothing', part: null };
}

function holds(
  rule: SignRuleData,
  structure: Structure,
  statement: Statement,
  { asked, phase }: Circumstances,
): boolean {
  if (rule.asked && !rule.asked.includes(asked)) return false;
  if (rule.phase && (phase === null || !rule.phase.includes(phase))) return false;
  if (rule.within !== undefined && structure.words.length > rule.within) return false;
  if (!rule.near && !rule.without) return true;
  const own = structure.saidIn[statement.segment];
  if (rule.near && !rule.near.some((name) => own?.has(name))) return false;
  return !rule.without?.some((name) => own?.has(name));
}

/** Parts farther away than this many understood words are not looked at. */
const FARTHEST_PART = 25;

/** Parts a statement may be about, nearest first; the one before it is preferred, a comma counts as distance. */
function partsAround(structure: Structure, statement: Statement): Item[] {
  const { items, segmentOf } = structure;
  const found: { part: Item; distance: number }[] = [];
  let commas = 0;
  for (let at = statement.at; at >= Math.max(0, statement.at - FARTHEST_PART); at -= 1) {
    const item = items[at];
    if (!item) break;
    if (item.kind === 'comma') commas += 1;
    const segmentsBack = statement.segment - (segmentOf[at] ?? 0);
    if (segmentsBack > 2) break;
    if (!item.concepts.some((concept) => concept.kind === 'part')) continue;
    const distance = Math.max(0, statement.item.cellFrom - item.cellTo) + commas * 3 + segmentsBack * 25;
    found.push({ part: item, distance });
  }
  commas = 0;
  const last = Math.min(items.length, statement.at + FARTHEST_PART);
  for (let at = statement.at + 1; at < last && segmentOf[at] === statement.segment; at += 1) {
    const item = items[at];
    if (!item) break;
    if (item.kind === 'comma') commas += 1;
    if (!item.concepts.some((concept) => concept.kind === 'part') || has(item, 'other-thing')) continue;
    found.push({ part: item, distance: (item.cellFrom - statement.item.cellTo) * 1.5 + 0.5 + commas * 6 });
  }
  return found.sort((one, other) => one.distance - other.distance).map(({ part }) => part);
}
