import { answerReader } from '../../../src/core/conversation/answer-words.js';
import type { CheckInDefinitions } from '../../../src/core/conversation/definition.js';
import type { Reading } from '../../../src/core/model/reading.js';
import type { Asked, ReadingPhase } from '../../../src/core/model/signs.js';
import { answersOf } from '../../../src/core/reading/answers.js';
import { readText } from '../../../src/core/reading/read.js';
import { checkInDefinitions, loadCheckIns } from '../../../src/flows/check-ins.js';
import { loadLanguages } from '../../../src/flows/reading-data.js';
import { messages, rules } from './family.js';

const FLOWS = new URL('../../../flows', import.meta.url).pathname;
const compiled = loadLanguages(FLOWS);

/** Languages that have both a reader and wording. */
export const languages: readonly string[] = compiled.packs
  .map(({ code }) => code)
  .filter((code) => code in messages);

/** The check-ins with the reader that ships, all languages loaded. */
export const talking: CheckInDefinitions = checkInDefinitions(
  loadCheckIns(FLOWS, messages, rules),
  [],
  answerReader(messages, answersOf(compiled)),
);

export function read(text: string, lang: string, phase: ReadingPhase | null, asked: Asked): Reading {
  return readText(compiled, { text, lang, asked, ...(phase === null ? {} : { phase }) });
}
