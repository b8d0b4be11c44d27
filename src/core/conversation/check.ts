import { type Messages, placeholdersOf } from '../texts/wording.js';
import type { TriageRules } from '../triage/rules.js';
import type { Answer, Definition } from './definition.js';
import { advance } from './machine.js';
import { eventsAt, placeName, reachable } from './paths.js';

/** A fault of a check-in: where in its file, what was found, what is expected. */
export interface TalkFault {
  readonly path: readonly string[];
  readonly found: string;
  readonly expected: string;
}

/**
 * What graph search finds wrong with one definition: a question or an end nobody reaches, a place that does not
 * end, a loop, an answer that hands to a person without raising anything, a digit used twice. Pure.
 */
export function checkDefinition(definition: Definition, rules: TriageRules): TalkFault[] {
  const unwalkable = [...namesTwice(definition), ...loopsOf(definition)];
  if (unwalkable.length > 0) return [...unwalkable, ...digitsTwice(definition)];
  return [
    ...unreached(definition),
    ...endless(definition),
    ...handedWithoutFlag(definition, rules),
    ...digitsTwice(definition),
  ];
}

function unreached(definition: Definition): TalkFault[] {
  const names = new Set(
    [...reachable(definition).values()].map(({ place }) => placeKey(place.kind, place.name)),
  );
  const questions = Object.keys(definition.questions).filter(
    (name) => !names.has(placeKey('question', name)),
  );
  const ends = Object.keys(definition.ends).filter((name) => !names.has(placeKey('end', name)));
  return [
    ...questions.map((name) => ({
      path: ['questions', name],
      found: `the question "${name}", which nothing leads to`,
      expected: 'an answer whose `next` is it, or its name under `begin`',
    })),
    ...ends.map((name) => ({
      path: ['ends', name],
      found: `the end "${name}", which nothing leads to`,
      expected: 'an answer whose `next` is it',
    })),
  ];
}

function placeKey(kind: string, name: string): string {
  return `${kind} ${name}`;
}

function namesTwice(definition: Definition): TalkFault[] {
  return Object.keys(definition.ends)
    .filter((name) => name in definition.questions)
    .map((name) => ({
      path: ['ends', name],
      found: `an end called "${name}", as a question is`,
      expected: 'a name of its own, so that `next` can tell them apart',
    }));
}

/** Places from which no end can be reached by any events. */
function endless(definition: Definition): TalkFault[] {
  const places = reachable(definition);
  const ends = new Set([...places].filter(([, { place }]) => place.kind === 'end').map(([name]) => name));
  let grew = true;
  while (grew) {
    grew = false;
    for (const [name, { place }] of places) {
      if (ends.has(name)) continue;
      const leads = eventsAt(definition, place).some((event) =>
        ends.has(placeName(advance(definition, place, event))),
      );
      if (leads) {
        ends.add(name);
        grew = true;
      }
    }
  }
  return [...places]
    .filter(([name]) => !ends.has(name))
    .map(([name, { place }]) => ({
      path: ['questions', place.name],
      found: `"${name}", from which no end can be reached`,
      expected: 'an answer that ends',
    }));
}

/** A loop of answers could go on for ever: neither silence nor unclear answers would bring a person. */
function loopsOf(definition: Definition): TalkFault[] {
  const faults: TalkFault[] = [];
  const settled = new Set<string>();
  const visit = (name: string, trail: readonly string[]): void => {
    if (trail.includes(name)) {
      const loop = [...trail.slice(trail.indexOf(name)), name].join(' -> ');
      faults.push({
        path: ['questions', name],
        found: `the loop ${loop}`,
        expected: 'questions that lead to an end',
      });
      return;
    }
    if (settled.has(name)) return;
    for (const { next } of Object.values(definition.questions[name]?.answers ?? {})) {
      if (next in definition.questions) visit(next, [...trail, name]);
    }
    settled.add(name);
  };
  for (const name of Object.keys(definition.questions)) visit(name, []);
  return faults;
}

/** An answer that ends with a person must give that person something to see. */
function handedWithoutFlag(definition: Definition, rules: TriageRules): TalkFault[] {
  const flagging = new Set(rules.rules.flatMap(({ when }) => when.intents));
  const raises = (answer: Answer) =>
    answer.raises !== null ||
    answer.means.length > 0 ||
    (answer.digit === null && answer.says === null && answer.signs.length > 0) ||
    answer.intents.some((intent) => flagging.has(intent));
  return listedAnswers(definition)
    .filter(({ answer }) => definition.ends[answer.next]?.outcome === 'person' && !raises(answer))
    .map(({ question, name }) => ({
      path: ['questions', question, 'answers', name],
      found: `the answer "${name}" hands to a person, but raises no flag`,
      expected: '`means` with a sign, `raises` with a rule, or an intent of a rule',
    }));
}

function digitsTwice(definition: Definition): TalkFault[] {
  return Object.entries(definition.questions).flatMap(([question, { answers }]) => {
    const digits = Object.values(answers).flatMap(({ digit }) => (digit === null ? [] : [digit]));
    const wanted = digits.toSorted((a, b) => a - b);
    const isCounted = wanted.every((digit, index) => digit === index + 1);
    return isCounted
      ? []
      : [
          {
            path: ['questions', question, 'answers'],
            found: `the digits ${wanted.join(', ')}`,
            expected: 'each digit once, counted from 1 without a gap',
          },
        ];
  });
}

interface Listed {
  readonly question: string;
  readonly name: string;
  readonly answer: Answer;
}

export function listedAnswers(definition: Definition): Listed[] {
  return Object.entries(definition.questions).flatMap(([question, { answers }]) =>
    Object.entries(answers).map(([name, answer]) => ({ question, name, answer })),
  );
}

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
