import { type Messages, placeholdersOf } from '../texts/wording.js';
import type { Definition } from './definition.js';

/** A fault of one text of messages.yaml. */
export interface TextFault {
  readonly language: string;
  readonly key: string;
  readonly found: string;
  readonly expected: string;
}

/** Long but likely values, for counting the parts of a text. */
export const SAMPLE_VALUES: Readonly<Record<string, string>> = {
  child: 'Amina',
  clinic: 'Hillside Clinic',
  call: '+15550100123',
  emergency: '112',
  date: '14 March',
  time: '09:30',
  hours: '10-12',
  first: 'Amina',
  second: 'Joseph',
  third: 'Grace',
  fourth: 'Daniel',
  matter: 'circulation',
  words: 'toes are cold',
  code: 'A7',
  count: '2',
};

/**
 * What is wrong with the texts of all languages: a key or a placeholder English has and another lacks, a listed
 * digit that is missing, more than two parts. `partsOf` counts the parts of a filled text in a language. Pure.
 */
export function checkTexts(
  messages: Messages,
  definitions: readonly Definition[],
  partsOf: (body: string, language: string) => number,
): TextFault[] {
  const english = messages.en?.texts ?? {};
  const digits = digitsByKey(definitions);
  return Object.entries(messages).flatMap(([language, { texts }]) => [
    ...Object.keys(english)
      .filter((key) => !(key in texts) && !key.startsWith(STAFF))
      .map((key) => ({ language, key, found: 'no text', expected: `"${key}" in this language` })),
    ...Object.entries(texts).flatMap(([key, text]) =>
      textFaults(language, key, text, english[key], digits, partsOf),
    ),
  ]);
}

/** Texts to staff, who read English so far. */
const STAFF = 'staff-';
/** Names a language may leave out where its alphabet leaves no room. */
const MAY_BE_LEFT_OUT: readonly string[] = ['child', 'clinic'];

function braced(names: readonly string[]): string {
  return names.map((name) => `{${name}}`).join(' ');
}

function textFaults(
  language: string,
  key: string,
  text: string,
  english: string | undefined,
  digits: ReadonlyMap<string, readonly number[]>,
  partsOf: (body: string, language: string) => number,
): TextFault[] {
  const fault = (found: string, expected: string) => ({ language, key, found, expected });
  if (english === undefined)
    return [fault('a text English does not have', 'a key of languages/en/messages.yaml')];
  const faults: TextFault[] = [];
  const wanted = placeholdersOf(english);
  const given = placeholdersOf(text);
  const missing = wanted.filter((name) => !given.includes(name) && !MAY_BE_LEFT_OUT.includes(name));
  const extra = given.filter((name) => !wanted.includes(name));
  if (missing.length > 0) faults.push(fault(`no ${braced(missing)}`, 'it, as in English'));
  if (extra.length > 0)
    faults.push(fault(braced(extra), `only ${braced(wanted) || 'plain words'}, as in English`));
  const body = text.replace(/\{([a-z]+)\}/g, (_, name: string) => SAMPLE_VALUES[name] ?? name);
  const parts = partsOf(body, language);
  if (parts > 2) faults.push(fault(`${parts} parts`, 'at most 2'));
  const listed = digits.get(key) ?? [];
  const shown = [...text.matchAll(/(?<![\d{])[1-9](?!\d)/g)].map(([digit]) => Number(digit));
  const unlisted = listed.filter((digit) => !shown.includes(digit));
  if (unlisted.length > 0)
    faults.push(fault(`no ${unlisted.join(', ')}`, `every listed answer: ${listed.join(', ')}`));
  return faults;
}

function digitsByKey(definitions: readonly Definition[]): Map<string, readonly number[]> {
  const byKey = new Map<string, readonly number[]>();
  for (const { questions } of definitions) {
    for (const { text, again, answers } of Object.values(questions)) {
      const digits = Object.values(answers).flatMap(({ digit }) => (digit === null ? [] : [digit]));
      byKey.set(text, digits);
      byKey.set(again, digits);
    }
  }
  return byKey;
}
