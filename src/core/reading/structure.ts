import type { Item } from './match.js';
import type { Concept } from './trie.js';

/** `there`: said to be so. `denied`: said not to be. `over`: was so. `supposed`: a what-if. `elsewhere`: of somebody else. */
export type Standing = 'there' | 'denied' | 'over' | 'supposed' | 'elsewhere';

/** A state or ability found in the text, and how it was said. */
export interface Statement {
  readonly concept: Concept;
  /** Its place in the list of items. */
  readonly at: number;
  readonly item: Item;
  readonly segment: number;
  standing: Standing;
  /** The negating or ending word, shown as evidence with it. */
  by: Item | null;
  /** Said not to stop. */
  goesOn: boolean;
}

export interface Structure {
  readonly items: readonly Item[];
  /** The words of the text by cell; items count their places in these. */
  readonly words: readonly string[];
  /** The segment each item stands in: sentences, parted also by "but". */
  readonly segmentOf: readonly number[];
  /** The items of each segment, as [from, to) in the list of items. */
  readonly segments: readonly (readonly [number, number])[];
  readonly statements: readonly Statement[];
  /** The statements of each item. */
  readonly statementsAt: readonly (readonly Statement[])[];
  readonly asksSomething: boolean;
  /** Names of all concepts in the text: what is not in it need not be looked for. */
  readonly said: ReadonlySet<string>;
  /** The same by segment. */
  readonly saidIn: readonly ReadonlySet<string>[];
}

/** Words a negation or a doubt may reach across. */
export const FARTHEST = 6;

export const has = (item: Item, name: string): boolean => {
  for (const concept of item.concepts) if (concept.name === name) return true;
  return false;
};
export const hasAny = (item: Item, names: readonly string[]): boolean => {
  for (const concept of item.concepts) if (names.includes(concept.name)) return true;
  return false;
};
export const isState = (concept: Concept): boolean =>
  concept.kind === 'trouble' ||
  concept.kind === 'ability' ||
  concept.kind === 'well' ||
  concept.kind === 'sign';
export const isBad = (concept: Concept): boolean => concept.kind === 'trouble' || concept.kind === 'sign';

/** The items of one segment. */
export function itemsOf(structure: Structure, segment: number): readonly Item[] {
  const range = structure.segments[segment];
  return range ? structure.items.slice(range[0], range[1]) : [];
}
