import type { Definition, Question } from './definition.js';

const OPTION =
  /(?<![\p{N}{])([1-9])(?!\p{N})\s*[=:)]?\s*(.*?)(?=[.।;,،؛]?\s*(?<![\p{N}{])[1-9](?!\p{N})|[.।؟?;]|$)/gu;

/** The listed answers in a question's text: "Reply 1 pink and warm. 2 swollen." -> 1 "pink and warm", 2 "swollen". */
export function optionsIn(text: string): Map<number, string> {
  return new Map([...text.matchAll(OPTION)].map((one) => [Number(one[1]), (one[2] ?? '').trim()]));
}

/** The digit whose own words a family has sent back, in any language the question was written in; else null. */
export function optionSaid(definition: Definition, question: Question, text: string): number | null {
  const said = bare(text);
  if (said === '') return null;
  for (const key of [question.text, question.again]) {
    for (const template of Object.values(definition.wordings[key] ?? {})) {
      for (const [digit, words] of optionsIn(template)) if (bare(words) === said) return digit;
    }
  }
  return null;
}

function bare(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, ' ')
    .trim();
}
