import { answerReader } from '../core/conversation/answer-words.js';
import { checkDefinition } from '../core/conversation/check.js';
import { checkAnswers } from '../core/conversation/check-answers.js';
import { checkTexts } from '../core/conversation/check-texts.js';
import type { Definition } from '../core/conversation/definition.js';
import { answersOf } from '../core/reading/answers.js';
import type { CompiledLanguages } from '../core/reading/compile.js';
import { readText } from '../core/reading/read.js';
import { segments } from '../core/texts/segments.js';
import { asSent, type Messages } from '../core/texts/wording.js';
import { readCheckIns } from './check-ins.js';
import type { Fault } from './fault.js';
import { readMessages } from './messages.js';
import { readTriage } from './triage.js';

/**
 * Every fault of the check-ins, the triage rules and the wording of all languages: what their loaders find, what
 * graph search over each definition finds, texts that are missing, too long or lack a placeholder or a listed digit,
 * and listed answers that the reader would take for something else. `languages` null: the vocabularies cannot be
 * read, so the listed answers are not tried.
 */
export function checkTalk(folder: string, languages: CompiledLanguages | null): Fault[] {
  const messages = readMessages(folder);
  const rules = readTriage(folder);
  const faults: Fault[] = [...messages.faults, ...rules.faults];
  if (messages.value === null || rules.value === null) return faults;
  const checkIns = readCheckIns(folder, messages.value, rules.value);
  faults.push(...checkIns.faults);
  if (checkIns.value === null) return faults;
  const definitions: readonly Definition[] = Object.values(checkIns.value);
  // Walking a definition whose names do not fit would tell the same fault again, or worse.
  for (const definition of checkIns.faults.length > 0 ? [] : definitions) {
    const found = checkDefinition(definition, rules.value);
    const misheard = languages === null ? [] : heardWrongly(definition, messages.value, languages);
    for (const { path, found: what, expected } of [...found, ...misheard]) {
      const file = `check-ins/${definition.name}.yaml`;
      faults.push({
        file,
        line: checkIns.lineOf(definition.name, path),
        path: path.join('.'),
        found: what,
        expected,
      });
    }
  }
  const partsOf = (body: string, language: string) =>
    segments(asSent(body, messages.value?.[language])).parts.length;
  for (const { language, key, found, expected } of checkTexts(messages.value, definitions, partsOf)) {
    const file = `languages/${language}/messages.yaml`;
    faults.push({ file, line: messages.lineOf(language, key), path: `texts.${key}`, found, expected });
  }
  return faults;
}

function heardWrongly(definition: Definition, messages: Messages, languages: CompiledLanguages) {
  const answers = answerReader(messages, answersOf(languages));
  const read = (text: string, lang: string, asked: Parameters<typeof readText>[1]['asked']) =>
    readText(languages, { text, lang, ...(asked === undefined ? {} : { asked }) });
  const spoken = languages.packs.map(({ code }) => code).filter((code) => code in messages);
  return checkAnswers(definition, spoken, read, answers);
}
