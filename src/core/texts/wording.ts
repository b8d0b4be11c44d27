import { toPlainSms } from './plain-sms.js';

/** Wording of one language as its messages.yaml has it. */
export interface LanguageMessages {
  readonly review: string;
  /** The language's name in itself, and the words by which a family asks for it. */
  readonly name: string;
  readonly direction: 'ltr' | 'rtl';
  readonly askedFor: readonly string[];
  /** Words that begin texts again after a stop, besides START and UNSTOP. */
  readonly beginWords: readonly string[];
  /** Letters that may stand in for others when that makes a text cheaper. */
  readonly plainLetters: Readonly<Record<string, string>>;
  readonly texts: Readonly<Record<string, string>>;
}

/** Language code -> wording. English is always there. */
export type Messages = Readonly<Record<string, LanguageMessages>>;

export const FALLBACK_LANGUAGE = 'en';

export interface Filled {
  readonly body: string;
  /** The language it really is in: the fallback when the wanted one has no such text. */
  readonly language: string;
}

/**
 * The text for a wording key in a language, its placeholders filled. A key the language lacks comes in English; a
 * key English lacks, or a placeholder without a value, is a mistake in the program and throws. `templates`
 * (language -> template) go before the messages: the wording a conversation began with. Pure.
 *
 * @example fillWording(messages, 'stopped', 'es', { clinic: 'Hill Clinic', call: '5550100' })
 */
export function fillWording(
  messages: Messages,
  key: string,
  language: string,
  values: Readonly<Record<string, string>>,
  templates?: Readonly<Record<string, string>>,
): Filled {
  for (const one of [language, FALLBACK_LANGUAGE]) {
    const template = templates?.[one] ?? messages[one]?.texts[key];
    if (template === undefined) continue;
    return { body: asSent(fill(template, values, key), messages[one]), language: one };
  }
  throw new Error(`messages.yaml of ${FALLBACK_LANGUAGE} has no text "${key}"`);
}

/** The body as it goes out: letters the language lets be plain are plain where that saves a part. Pure. */
export function asSent(body: string, language: Pick<LanguageMessages, 'plainLetters'> | undefined): string {
  return toPlainSms(body, { typography: true, letters: language?.plainLetters ?? {} }).body;
}

/** The placeholders a template names. */
export function placeholdersOf(template: string): string[] {
  return [...new Set([...template.matchAll(PLACEHOLDER)].map((match) => match[1] ?? ''))];
}

const PLACEHOLDER = /\{([a-z]+)\}/g;

function fill(template: string, values: Readonly<Record<string, string>>, key: string): string {
  return template.replace(PLACEHOLDER, (_, name: string) => {
    const value = values[name];
    if (value === undefined) throw new Error(`the text "${key}" needs a value for {${name}}`);
    return value;
  });
}
