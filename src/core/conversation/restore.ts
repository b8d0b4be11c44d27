import { z } from 'zod';
import type { StoredConversation } from '../model/effects.js';
import type { CheckInDefinitions, Definition } from './definition.js';
import { ASKINGS, endNames, type Place } from './machine.js';

const text = z.record(z.string(), z.string());
const storedSchema = z.strictObject({
  value: z.union([z.string(), z.record(z.string(), z.enum(ASKINGS))]),
  context: z.strictObject({ aside: text, about: text }),
});

export interface Restored {
  readonly definition: Definition;
  readonly place: Place;
}

/**
 * The conversation as it was stored, on the text of its own version; null when the version is unknown or the
 * snapshot does not fit it, which must go to a person. Pure.
 */
export function restore(definitions: CheckInDefinitions, stored: StoredConversation): Restored | null {
  const definition = definitions.byVersion.get(stored.version);
  const parsed = storedSchema.safeParse(stored.snapshot);
  if (!definition || definition.name !== stored.checkIn || !parsed.success) return null;
  const { value, context } = parsed.data;
  if (typeof value === 'string') {
    const name = value.replace(/^end-/, '');
    if (!value.startsWith('end-') || !endNames(definition).includes(name)) return null;
    return { definition, place: { kind: 'end', name, context } };
  }
  const entries = Object.entries(value);
  const [entry] = entries;
  if (!entry || entries.length !== 1 || !(entry[0] in definition.questions)) return null;
  return { definition, place: { kind: 'question', name: entry[0], asking: entry[1], context } };
}
