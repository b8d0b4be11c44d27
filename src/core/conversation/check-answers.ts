import type { Reading } from '../model/reading.js';
import type { Asked } from '../model/signs.js';
import { listedAnswers, type TalkFault } from './check.js';
import type { Answer, AnswerReader, Definition, Question } from './definition.js';
import { type Heard, hear, hearContent } from './hear.js';
import { optionsIn } from './options.js';

/**
 * Whether every listed answer of a definition is understood as meant, in each language: its digit, plain and with a
 * full stop, and the very words that stand beside the digit in the question. Pure.
 */
export function checkAnswers(
  definition: Definition,
  languages: readonly string[],
  read: (text: string, language: string, asked: Asked) => Reading,
  answers: AnswerReader,
): TalkFault[] {
  const faults: TalkFault[] = [];
  for (const { question, name, answer } of listedAnswers(definition)) {
    const asked = definition.questions[question];
    if (!asked || answer.digit === null) continue;
    for (const language of languages) {
      const words = answer.child === null ? wordsOf(definition, asked.text, language, answer.digit) : null;
      const said = [`${answer.digit}`, `${answer.digit}.`, ...(words === null ? [] : [words])];
      for (const text of said) {
        const reading = read(text, language, asked.asked);
        const heard = contradicting(asked, reading, name) ?? hear(definition, asked, reading, text, answers);
        if (heard !== null && (heard.name === name || isAlike(heard.answer, answer))) continue;
        faults.push({
          path: ['questions', question, 'answers', name],
          found: `"${text}" (${language}), heard as ${heard === null ? 'no listed answer' : `"${heard.name}"`}`,
          expected: `"${name}"`,
        });
      }
    }
  }
  return faults;
}

/** The words beside a digit name a sign that belongs to another answer. */
function contradicting(asked: Question, reading: Reading, name: string): Heard | null {
  const heard = reading.signs.length > 0 ? hearContent(asked, reading) : null;
  return heard !== null && heard.name !== name ? heard : null;
}

/** Two answers that lead to the same place and stand for the same. */
function isAlike(a: Answer, b: Answer): boolean {
  return a.next === b.next && a.raises === b.raises && a.means.join() === b.means.join();
}

function wordsOf(definition: Definition, key: string, language: string, digit: number): string | null {
  const template = definition.wordings[key]?.[language];
  return template === undefined ? null : (optionsIn(template).get(digit) ?? '');
}
