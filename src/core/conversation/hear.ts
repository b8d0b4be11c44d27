import type { Reading } from '../model/reading.js';
import type { Sign } from '../model/signs.js';
import { lowestHours } from '../triage/condition.js';
import type { Answer, AnswerReader, Definition, Question } from './definition.js';
import { optionSaid } from './options.js';

/** An answer that was heard, and whether by its content or only by a digit, yes or no. */
export interface Heard {
  readonly name: string;
  readonly answer: Answer;
  readonly by: 'content' | 'choice';
}

/**
 * Which of a question's answers a text gives, or null. A digit alone, or the very words of a listed answer, count
 * first; then what the text says (signs before hours before intents before denials: the worse news wins); then a
 * plain yes or no. Any other text that names a sign is never taken for a bare digit, yes or no. Pure.
 */
export function hear(
  definition: Definition,
  question: Question,
  reading: Reading,
  text: string,
  answers: AnswerReader,
): Heard | null {
  const takesHours = Object.values(question.answers).some((answer) => answer.hours !== null);
  const choice = takesHours || reading.signs.length > 0 ? null : answers.choice(text, reading.language);
  if (choice !== null) return byDigit(question, choice);
  return (
    byDigit(question, ownWords(definition, question, reading, text)) ??
    hearContent(question, reading) ??
    hearYesNo(question, reading, text, answers)
  );
}

/** Below this many words a sign that was read in them weighs more than their being a listed answer. */
const FEWEST_WORDS = 2;

function ownWords(definition: Definition, question: Question, reading: Reading, text: string): number | null {
  const isShort = text.trim().split(/\s+/u).length < FEWEST_WORDS;
  return isShort && reading.signs.length > 0 ? null : optionSaid(definition, question, text);
}

function byDigit(question: Question, digit: number | null): Heard | null {
  const found = Object.entries(question.answers).find(
    ([, answer]) => digit !== null && answer.digit === digit,
  );
  return found ? { name: found[0], answer: found[1], by: 'choice' } : null;
}

/** As `hear`, by content only: used for questions that have not been asked yet. */
export function hearContent(question: Question, reading: Reading): Heard | null {
  const listed = Object.entries(question.answers);
  const ways: ((answer: Answer) => boolean)[] = [
    ({ signs }) => overlap(signs, reading.signs),
    ({ hours }) => hours !== null && reading.hours !== null && hoursFit(hours, lowestHours(reading.hours)),
    ({ intents }) => reading.intent !== null && intents.includes(reading.intent),
    ({ denies }) => reading.signs.length === 0 && overlap(denies, reading.denied),
  ];
  for (const fits of ways) {
    const found = listed.find(([, answer]) => fits(answer));
    if (found) return { name: found[0], answer: found[1], by: 'content' };
  }
  return null;
}

function hearYesNo(question: Question, reading: Reading, text: string, answers: AnswerReader): Heard | null {
  if (reading.signs.length > 0) return null;
  const said = answers.yesNo(text, reading.language);
  const found = Object.entries(question.answers).find(([, answer]) => said !== null && answer.says === said);
  return found ? { name: found[0], answer: found[1], by: 'choice' } : null;
}

function overlap(wanted: readonly Sign[], told: readonly Sign[]): boolean {
  return wanted.some((sign) => told.includes(sign));
}

function hoursFit({ from, below }: { from: number; below: number | null }, hours: number): boolean {
  return hours >= from && (below === null || hours < below);
}
