import { join } from 'node:path';
import type { AnswerReader } from '../../src/core/conversation/definition.js';
import { onText } from '../../src/core/conversation/step.js';
import { readText } from '../../src/core/reading/read.js';
import { fillWording } from '../../src/core/texts/wording.js';
import { checkInDefinitions, loadCheckIns } from '../../src/flows/check-ins.js';
import { loadMessages } from '../../src/flows/messages.js';
import { loadLanguages } from '../../src/flows/reading-data.js';
import { loadTriage } from '../../src/flows/triage.js';
import type { WebCore } from '../../src/web/deps.js';

const FLOWS = join(import.meta.dirname, '..', '..', 'flows');

/** Pages try texts outside any question: what answers to questions mean is not needed. */
const noAnswers: AnswerReader = {
  yesNo: () => null,
  choice: () => null,
  asksToBegin: () => false,
  asksForLanguage: () => null,
};

/** The reader, the conversations and the wording of the project's own files. */
export function realCore(): WebCore {
  const languages = loadLanguages(FLOWS);
  const messages = loadMessages(FLOWS);
  const rules = loadTriage(FLOWS);
  const definitions = checkInDefinitions(loadCheckIns(FLOWS, messages, rules), [], noAnswers);
  return {
    readText: (text) => readText(languages, text),
    onText: (input) => onText(definitions, rules, input),
    fillWording: ({ wording, values, language }) => fillWording(messages, wording, language, values),
  };
}
