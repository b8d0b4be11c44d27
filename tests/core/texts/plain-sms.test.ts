import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { costlyCharacters, toPlainSms } from '../../../src/core/texts/plain-sms.js';
import { segments } from '../../../src/core/texts/segments.js';
import { segmentsLines, segmentsReport } from '../../../src/core/texts/segments-report.js';

const typography = { typography: true, letters: {} };
const french = { typography: true, letters: { ç: 'c', ê: 'e', ô: 'o' } };

describe('plain texts', () => {
  test('curly quotes and dashes are written plainly where that halves the cost', () => {
    const body = `It’s Amara’s “brace” week – please answer… ${'x'.repeat(60)}`;
    const plain = toPlainSms(body, typography);
    expect(plain.body).toBe(`It's Amara's "brace" week - please answer... ${'x'.repeat(60)}`);
    expect(plain.replaced).toContainEqual(['’', "'"]);
    expect([segments(body).parts.length, segments(plain.body).parts.length]).toEqual([2, 1]);
  });

  test('letters change only where the language allows it', () => {
    expect(toPlainSms('garçon', typography).body).toBe('garçon');
    expect(toPlainSms('garçon', french)).toEqual({ body: 'garcon', replaced: [['ç', 'c']] });
    expect(toPlainSms('été', french).body).toBe('été');
  });

  test('a decomposed accent is composed, which loses nothing', () => {
    expect(toPlainSms('e\u0301te\u0301', typography).body).toBe('été');
  });

  test('a text that needs the wide alphabet anyway keeps its quotes', () => {
    const body = '“ሰላም” – it’s';
    expect(toPlainSms(body, typography)).toEqual({ body, replaced: [] });
  });

  test('never costs more than the text as written, and never touches a plain one', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('a', '…', '“', 'ç', '€', 'é', '\u00a0', 'ሰ') }),
        (body) => {
          const plain = toPlainSms(body, french);
          expect(segments(plain.body).parts.length).toBeLessThanOrEqual(segments(body).parts.length);
          if (costlyCharacters(body).length === 0) expect(plain.body).toBe(body);
        },
      ),
    );
  });

  test('the audit names each message’s cost, what was saved and what forces the wide alphabet', () => {
    const report = segmentsReport({
      fr: { messages: { visit: `C’est demain à 9 h. ${'Merci. '.repeat(10)}` }, plain: french },
      am: { messages: { visit: 'ነገ ይምጡ' } },
    });
    expect(report.rows).toMatchObject([
      { language: 'fr', encoding: 'gsm-7', partsAsWritten: 2, parts: 1, costly: [] },
      { language: 'am', encoding: 'ucs-2', parts: 1 },
    ]);
    expect(report.languages).toEqual([
      { language: 'fr', messages: 1, parts: 1, longest: 1, wide: 0 },
      { language: 'am', messages: 1, parts: 1, longest: 1, wide: 1 },
    ]);
    expect(segmentsLines(report).join('\n')).toMatch(
      /fr {2}visit {2}gsm-7 {2}90 {2}1 part {2}\(2 as written; ’→'\)/,
    );
  });
});
