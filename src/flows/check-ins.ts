import { createHash } from 'node:crypto';
import {
  type CheckInDefinitions,
  DEFINITION_NAMES,
  type Definition,
  type DefinitionBody,
  type DefinitionName,
  definitionSchema,
} from '../core/conversation/definition.js';
import type { Messages } from '../core/texts/wording.js';
import type { TriageRules } from '../core/triage/rules.js';
import type { Fault } from './fault.js';
import { type Found, orThrow } from './flow-faults.js';
import { readFlowFile } from './flow-file.js';

export type CheckInBodies = Readonly<Record<DefinitionName, Definition>>;

/** The check-ins of a clinic with the version of each. `folder` is `flows`. Throws every fault at once. */
export function loadCheckIns(folder: string, messages: Messages, rules: TriageRules): CheckInBodies {
  return orThrow(readCheckIns(folder, messages, rules));
}

/** As `loadCheckIns`, the faults in the result: for `toeline check`. */
export function readCheckIns(
  folder: string,
  messages: Messages,
  rules: TriageRules,
): Found<CheckInBodies> & { lineOf(name: string, path: readonly string[]): number } {
  const faults: Fault[] = [];
  const lines = new Map<string, (path: readonly PropertyKey[]) => number>();
  const bodies: Partial<Record<DefinitionName, Definition>> = {};
  for (const name of DEFINITION_NAMES) {
    const file = `check-ins/${name}.yaml`;
    const read = readFlowFile(folder, file, definitionSchema);
    if (!read.isValid) {
      faults.push(...read.faults);
      continue;
    }
    lines.set(name, read.lineOf);
    faults.push(...nameFaults(file, name, read.value, messages, rules, read.lineOf));
    bodies[name] = withVersion(read.value, messages);
  }
  const isComplete = DEFINITION_NAMES.every((name) => bodies[name] !== undefined);
  const lineOf = (name: string, path: readonly string[]) => lines.get(name)?.(path) ?? 1;
  return { value: isComplete ? (bodies as CheckInBodies) : null, faults, lineOf };
}

/** A definition together with its texts as they stand now, and the hash of both. */
export function withVersion(body: DefinitionBody, messages: Messages): Definition {
  const keys = textKeys(body).map(({ key }) => key);
  const wordings = Object.fromEntries(
    [...new Set(keys)].toSorted().map((key) => [key, byLanguage(key, messages)]),
  );
  const content = JSON.stringify({ body, wordings });
  return { ...body, wordings, version: createHash('sha256').update(content).digest('hex').slice(0, 16) };
}

function byLanguage(key: string, messages: Messages): Record<string, string> {
  return Object.fromEntries(
    Object.entries(messages).flatMap(([language, { texts }]) => {
      const template = texts[key];
      return template === undefined ? [] : [[language, template]];
    }),
  );
}

/** What the conversation needs: the current definitions, those still running, and how answers are read. */
export function checkInDefinitions(
  current: CheckInBodies,
  older: readonly Definition[],
  answers: CheckInDefinitions['answers'],
  weeklyLimit = WEEKLY_LIMIT,
): CheckInDefinitions {
  const byVersion = new Map([...older, ...Object.values(current)].map((one) => [one.version, one]));
  return { current, byVersion, answers, weeklyLimit };
}

/** About 4 texts a week were tolerated in trials with adults: JMIR Mhealth Uhealth 2016;4(4):e127 (design of text-message trials). */
export const WEEKLY_LIMIT = 4;

interface Named {
  readonly key: string;
  readonly path: readonly string[];
}

/** Every key of messages.yaml a definition uses, with its place. */
export function textKeys(body: DefinitionBody): Named[] {
  const questions = Object.entries(body.questions).flatMap(([name, { text, again }]) => [
    { key: text, path: ['questions', name, 'text'] },
    { key: again, path: ['questions', name, 'again'] },
  ]);
  const ends = Object.entries(body.ends).flatMap(([name, { text }]) =>
    text === null ? [] : [{ key: text, path: ['ends', name, 'text'] }],
  );
  const simple = body['not-reading'].text;
  return [
    ...questions,
    ...ends,
    ...(simple === null ? [] : [{ key: simple, path: ['not-reading', 'text'] }]),
  ];
}

function nameFaults(
  file: string,
  name: DefinitionName,
  body: DefinitionBody,
  messages: Messages,
  rules: TriageRules,
  lineOf: (path: readonly PropertyKey[]) => number,
): Fault[] {
  const faults: Fault[] = [];
  const fault = (path: readonly string[], found: string, expected: string) =>
    faults.push({ file, line: lineOf(path), path: path.join('.'), found, expected });
  if (body.name !== name) fault(['name'], `"${body.name}"`, `"${name}", as the file is called`);
  const english = messages.en?.texts ?? {};
  for (const { key, path } of textKeys(body)) {
    if (!(key in english)) fault(path, `"${key}"`, 'a text of languages/en/messages.yaml');
  }
  const places = [...Object.keys(body.questions), ...Object.keys(body.ends)];
  for (const [index, first] of body.begin.entries()) {
    if (!(first in body.questions))
      fault(['begin', String(index)], `"${first}"`, `a question: ${Object.keys(body.questions).join(', ')}`);
  }
  const ruleIds = new Set(rules.rules.map(({ id }) => id));
  const rule = (path: readonly string[], id: string | null) => {
    if (id !== null && !ruleIds.has(id)) fault(path, `"${id}"`, 'a rule of triage.yaml');
  };
  rule(['not-reading', 'raises'], body['not-reading'].raises);
  rule(['when-stopped'], body['when-stopped']);
  for (const [index, { raises }] of body.silence.entries())
    rule(['silence', String(index), 'raises'], raises);
  for (const [question, { answers, silence }] of Object.entries(body.questions)) {
    rule(['questions', question, 'silence', 'raises'], silence?.raises ?? null);
    for (const [answer, { next, raises }] of Object.entries(answers)) {
      const path = ['questions', question, 'answers', answer];
      if (!places.includes(next))
        fault([...path, 'next'], `"${next}"`, `a question or an end: ${places.join(', ')}`);
      rule([...path, 'raises'], raises);
    }
  }
  return faults;
}
