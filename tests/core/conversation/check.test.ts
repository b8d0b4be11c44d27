import { describe, expect, it } from 'vitest';
import { checkDefinition } from '../../../src/core/conversation/check.js';
import { checkTexts } from '../../../src/core/conversation/check-texts.js';
import type { Definition } from '../../../src/core/conversation/definition.js';
import { allPaths, reachable } from '../../../src/core/conversation/paths.js';
import { toPlainSms } from '../../../src/core/texts/plain-sms.js';
import { segments } from '../../../src/core/texts/segments.js';
import { definitions, messages, rules } from './family.js';

const all = Object.values(definitions.current);
/** As sent: letters a language allows to be plain are plain when that saves a part. */
const partsOf = (body: string, language = 'en') => {
  const letters = messages[language]?.plainLetters ?? {};
  return segments(toPlainSms(body, { typography: true, letters }).body).parts.length;
};
const day = definitions.current['cast-day'];

/** The first evening of a cast with one of its answers changed. */
function changed(question: string, answer: string, part: Record<string, unknown>): Definition {
  const copy = structuredClone(day);
  Object.assign(copy.questions[question]?.answers[answer] ?? {}, part);
  return copy;
}

describe('graph search', () => {
  it.each(all.map((one) => [one.name, one] as const))('finds no fault in %s', (_, definition) => {
    expect(checkDefinition(definition, rules)).toEqual([]);
  });

  it('refuses a question nothing leads to', () => {
    const other = structuredClone(day);
    for (const answer of Object.values(other.questions.crying?.answers ?? {})) answer.next = 'well';
    expect(checkDefinition(other, rules).map(({ found }) => found)).toContain(
      'the question "cast", which nothing leads to',
    );
  });

  it('refuses a loop of answers', () => {
    const faults = checkDefinition(changed('cast', 'good', { next: 'toes' }), rules);
    expect(faults.map(({ found }) => found)).toEqual(['the loop toes -> crying -> cast -> toes']);
  });

  it('refuses an answer that hands to a person and shows them nothing', () => {
    const faults = checkDefinition(changed('crying', 'much', { raises: null }), rules);
    expect(faults).toHaveLength(1);
    expect(faults[0]?.path).toEqual(['questions', 'crying', 'answers', 'much']);
  });

  it('refuses an end called like a question', () => {
    const copy = structuredClone(day);
    copy.ends.toes = { text: null, outcome: 'noted' };
    expect(checkDefinition(copy, rules).map(({ found }) => found)).toEqual([
      'an end called "toes", as a question is',
    ]);
  });

  it('refuses a digit used twice', () => {
    expect(checkDefinition(changed('toes', 'swollen', { digit: 2 }), rules)).toHaveLength(1);
  });

  it('reaches every question in each of its three askings, and ends every path', () => {
    for (const definition of all) {
      const places = reachable(definition);
      for (const name of Object.keys(definition.questions)) expect(places.has(`${name}/asked`)).toBe(true);
      for (const { steps } of allPaths(definition)) expect(steps.at(-1)?.place.kind).toBe('end');
    }
  });
});

describe('the texts', () => {
  it('have every key, placeholder and listed digit in every language, in two parts at most', () => {
    expect(checkTexts(messages, all, partsOf)).toEqual([]);
  });

  it('in English keep to one part each', () => {
    const long = Object.entries(messages.en?.texts ?? {}).filter(([, text]) => partsOf(fillSample(text)) > 1);
    expect(long.map(([key]) => key)).toEqual([]);
  });

  it('are refused when a digit, a placeholder or brevity is missing', () => {
    const texts = { ...messages.en?.texts, 'ask-toes': 'How are the toes? 1 good', going: 'x' };
    const broken = { en: messages.en, xx: { ...messages.en, texts } } as typeof messages;
    const found = checkTexts(broken, all, partsOf).map(({ key, found }) => `${key}: ${found}`);
    expect(found).toEqual(['ask-toes: no 2, 3, 4', 'going: a text English does not have']);
  });

  it('never name the condition, never call a red word normal, never say to leave a cast on', () => {
    for (const { texts } of Object.values(messages)) {
      for (const text of Object.values(texts)) {
        expect(text).not.toMatch(/club ?foot|talipes|pie equinovaro|zambo|pied ?bot|pé torto|\bnormal/iu);
        expect(text).not.toMatch(/(leave|keep) (the|.*'s) cast on/iu);
      }
    }
  });

  it('say in every text that advises that texts are not always read, and whom to call', () => {
    const advising = Object.entries(messages.en?.texts ?? {}).filter(([key]) =>
      /^(go-now|call-now|today|soon|well|next|simple|person|noted|glad|better|going)/.test(key),
    );
    expect(advising.length).toBeGreaterThan(30);
    for (const [, text] of advising) {
      expect(text).toMatch(/not always read/);
      expect(text).toContain('{emergency}');
    }
  });
});

function fillSample(text: string): string {
  const values: Record<string, string> = {
    child: 'Amina',
    clinic: 'Hillside Clinic',
    call: '+15550100123',
    emergency: '112',
  };
  return text.replace(/\{([a-z]+)\}/g, (_, name: string) => values[name] ?? 'Joseph');
}
