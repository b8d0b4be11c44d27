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
