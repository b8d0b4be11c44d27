import { describe, expect, it } from 'vitest';
import { listedAnswers } from '../../../src/core/conversation/check.js';
import { hear } from '../../../src/core/conversation/hear.js';
import { optionsIn } from '../../../src/core/conversation/options.js';
import { languages, read, talking } from './real-reader.js';

/** The first phase a definition is used in decides how its answers are read. */
const PHASE = {
  'cast-day': 'cast',
  'cast-mid': 'cast',
  'tenotomy-day-1': 'tenotomy',
  'tenotomy-day-3': 'tenotomy',
  'tenotomy-day-7': 'tenotomy',
  'open-door': 'cast',
  'missed-visit': 'cast',
  'missed-visit-again': 'cast',
} as const;

describe.each(languages)('every listed answer, in %s', (language) => {
  const rows = Object.values(talking.current).flatMap((definition) =>
    listedAnswers(definition).map((one) => ({ definition, ...one })),
  );

  it('is understood by its digit, plain, with a full stop and in the digits of the script', () => {
    for (const { definition, question, name, answer } of rows) {
      if (answer.digit === null) continue;
      const asked = definition.questions[question];
      if (!asked) throw new Error(question);
      for (const text of [`${answer.digit}`, `${answer.digit}.`, ` ${answer.digit} `]) {
        const heard = hear(
          definition,
          asked,
          read(text, language, 'cast', asked.asked),
          text,
          talking.answers,
        );
        expect(heard?.name, `${definition.name} ${question} "${text}"`).toBe(name);
      }
    }
  });

  it('is understood in the very words of the question', () => {
    for (const { definition, question, name, answer } of rows) {
      const asked = definition.questions[question];
      const text = asked && definition.wordings[asked.text]?.[language];
      if (!asked || !text || answer.digit === null || answer.child !== null) continue;
      const words = optionsIn(text).get(answer.digit) ?? '';
      expect(words, `${question} has no words for ${answer.digit}`).not.toBe('');
      const phase = definition.name in PHASE ? PHASE[definition.name as keyof typeof PHASE] : 'brace-night';
      const reading = read(words, language, phase, asked.asked);
      const heard = hear(definition, asked, reading, words, talking.answers);
      const isSame = heard !== null && (heard.name === name || heard.answer.next === answer.next);
      expect(isSame, `${definition.name}/${question}: "${words}" heard as ${heard?.name}`).toBe(true);
    }
  });
});
