import type { Messages } from '../texts/wording.js';
import type { AnswerReader } from './definition.js';

/** The two questions the reader's language packs answer. */
export interface YesNoAndNumbers {
  yesNo(text: string, language: string): 'yes' | 'no' | null;
  /** The number when the text is nothing but one small number, in digits of any script or in words; else null. */
  choice(text: string, language: string): number | null;
}

/** Carriers' customary words to begin texts again; YES is left out, since it also answers questions. */
const BEGIN_WORDS = ['start', 'unstop'] as const;

/** Joins the reader's yes, no and numbers with the set words of messages.yaml. Pure. */
export function answerReader(messages: Messages, packs: YesNoAndNumbers): AnswerReader {
  const begin = new Set<string>(BEGIN_WORDS);
  const languages = new Map<string, string>();
  for (const [code, { askedFor, beginWords }] of Object.entries(messages)) {
    for (const word of beginWords) begin.add(bare(word));
    for (const word of askedFor) languages.set(bare(word), code);
  }
  return {
    yesNo: (text, language) => packs.yesNo(text, language),
    choice: (text, language) => packs.choice(text, language),
    asksToBegin: (text) => begin.has(bare(text)),
    asksForLanguage: (text) => languages.get(bare(text)) ?? null,
  };
}

/** Letters and digits only, one space between words, lower case: how set words are compared. */
function bare(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, ' ')
    .trim();
}
