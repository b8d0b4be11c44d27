import type { Reading } from '../../core/model/reading.js';
import type { Words } from '../wording.js';

/** What was read in a text, in a line; empty when nothing was. */
export function readAs(reading: Reading, words: Words): string {
  return [
    ...reading.signs.map((sign) => words.say(`sign.${sign}`)),
    ...reading.denied.map((sign) => words.say('said.denied', { sign: words.say(`sign.${sign}`) })),
    ...(reading.intent === null ? [] : [words.say(`intent.${reading.intent}`)]),
    ...(reading.hours === null
      ? []
      : [
          words.say('said.hours', {
            hours: typeof reading.hours === 'number' ? reading.hours : reading.hours.join('–'),
          }),
        ]),
  ].join(', ');
}
