import type { Words } from '../wording.js';

/** "mother", "grandfather"; a relation we have no word for is shown as it was written. */
export function relationWords(relation: string | null, words: Words): string {
  if (relation === null || relation === '') return words.say('relation.family');
  const key = `relation.${relation}`;
  return words.has(key) ? words.say(key) : relation;
}
