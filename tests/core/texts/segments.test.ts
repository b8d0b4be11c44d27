import fc from 'fast-check';
import { SegmentedMessage } from 'sms-segments-calculator';
import { describe, expect, test } from 'vitest';
import { encodeSeptets } from '../../../src/core/texts/gsm-alphabet.js';
import { costOfText, segments } from '../../../src/core/texts/segments.js';

const sizes = (body: string) => segments(body).parts.map((part) => part.length);
const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Letters families and clinics write, with what makes counting hard. */
const PALETTES = [
  'abcdefghijklmnopqrstuvwxyz ABCDEFGHIJ 0123456789.,?!',
  'aeiou éèùìòàñüÄÖ ¿¡ €[]{}~^|\\ \n',
  'abc “”‘’–… çêô',
  'ሰላምአማርኛ ቀን 1234',
  'पैर नीला है 123',
  'قدم زرقاء ١٢٣',
];
const EMOJI = ['👍', '👍🏽', '🦶', '👨‍👩‍👧', '🇰🇪', 'é', '❤️', '👣'];

/** Numbers that fall the same way at every run (mulberry32). */
function dice(seed: number): (sides: number) => number {
  let state = seed;
  return (sides) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % sides;
  };
}

function randomText(roll: (sides: number) => number): string {
  const palette = [...(PALETTES[roll(PALETTES.length)] ?? '')];
  const length = roll(4) === 0 ? 60 + roll(20) : roll(480);
  const hasEmoji = roll(5) === 0;
  let text = '';
  while (text.length < length) {
    text += hasEmoji && roll(12) === 0 ? EMOJI[roll(EMOJI.length)] : palette[roll(palette.length)];
  }
  return text;
}

describe('counting parts', () => {
  // Published limits: 3GPP TS 23.040 section 9.2.3.24.1 (140 octets, a header of 6 in each part).
  test('keeps the published edges', () => {
    expect(sizes('x'.repeat(160))).toEqual([160]);
    expect(sizes('x'.repeat(161))).toEqual([153, 8]);
    expect(sizes('x'.repeat(306))).toEqual([153, 153]);
    expect(sizes('x'.repeat(307))).toEqual([153, 153, 1]);
    expect(sizes('ж'.repeat(70))).toEqual([70]);
    expect(sizes('ж'.repeat(71))).toEqual([67, 4]);
    expect(sizes('ж'.repeat(134))).toEqual([67, 67]);
    expect(sizes('ж'.repeat(135))).toEqual([67, 67, 1]);
    expect(segments('')).toMatchObject({ encoding: 'gsm-7', units: 0, parts: [''] });
  });

  test('counts an extension character as two and never cuts it', () => {
    expect(segments('€'.repeat(80))).toMatchObject({ units: 160, parts: ['€'.repeat(80)] });
    expect(sizes('€'.repeat(81))).toEqual([76, 5]);
  });

  // Reference: npm sms-segments-calculator 1.3.0 (TwilioDevEd/message-segment-calculator).
  // The reference takes a minute and a half over 100,000 texts, so the everyday run takes the first tenth of them.
  const count = process.env.TOELINE_FULL === '1' ? 100_000 : 10_000;
  test(`agrees with a reference library on ${count} random texts`, { timeout: 240_000 }, () => {
    const roll = dice(20_260_101);
    const differences: string[] = [];
    let long = 0;
    for (let index = 0; index < count; index += 1) {
      const text = randomText(roll);
      const ours = segments(text);
      const theirs = new SegmentedMessage(text);
      if (ours.parts.length > 1) long += 1;
      const isSame =
        ours.parts.length === theirs.segmentsCount &&
        (ours.encoding === 'gsm-7') === (theirs.getEncodingName() === 'GSM-7');
      if (!isSame)
        differences.push(`${ours.parts.length} != ${theirs.segmentsCount}: ${JSON.stringify(text)}`);
    }
    expect(long).toBeGreaterThan(count * 0.3);
    expect(differences).toEqual([]);
  });

  test('whatever the text, its parts join to it again, fit, and cut no character a reader sees', () => {
    const anyText = fc.oneof(
      fc.string({ unit: 'grapheme', maxLength: 400 }),
      fc.string({ unit: 'binary', maxLength: 400 }),
      fc
        .array(fc.constantFrom(...EMOJI, 'a', 'é', '€', 'ह', '्', '\u0301'), { maxLength: 300 })
        .map((all) => all.join('')),
    );
    fc.assert(
      fc.property(anyText, (text) => {
        const { parts, encoding, unitsPerPart, units } = segments(text);
        expect(parts.join('')).toBe(text);
        const ends = new Set([...graphemes.segment(text)].map((one) => one.index));
        let at = 0;
        for (const part of parts) {
          const size = encoding === 'gsm-7' ? (encodeSeptets(part)?.length ?? Infinity) : part.length;
          expect(size).toBeLessThanOrEqual(unitsPerPart);
          if (part !== '') expect(ends.has(at)).toBe(true);
          at += part.length;
        }
        expect(parts.length).toBeGreaterThanOrEqual(Math.ceil(units / unitsPerPart));
      }),
      { numRuns: 500 },
    );
  });

  test('a heap of marks longer than any part is cut between marks rather than lost', () => {
    const heap = `a${'\u0301'.repeat(300)}`;
    const { parts } = segments(heap);
    expect(parts.join('')).toBe(heap);
    expect(Math.max(...parts.map((part) => part.length))).toBeLessThanOrEqual(67);
  });

  // Header sizes: 3GPP TS 23.040 section 9.2.3.24: 3 octets a national table, 5 for parts, 1 for the length.
  test('takes a national table where the gateway carries it and it saves parts', () => {
    const turkish = 'ğ'.repeat(100);
    expect(segments(turkish)).toMatchObject({ encoding: 'ucs-2' });
    expect(segments(turkish).parts).toHaveLength(2);
    const single = { shifts: [{ locking: 0, single: 1 }] };
    expect(segments('ş'.repeat(77), single)).toMatchObject({
      encoding: 'gsm-7',
      units: 154,
      unitsPerPart: 155,
    });
    const both = { shifts: [{ locking: 1, single: 1 }] };
    expect(segments(turkish, both)).toMatchObject({ units: 100, unitsPerPart: 152, shift: both.shifts[0] });
    expect(segments('ğ'.repeat(153), both)).toMatchObject({ unitsPerPart: 146 });
    expect(segments('plain', both)).toMatchObject({ shift: { locking: 0, single: 0 } });
  });

  test('the cost is the price of the parts', () => {
    expect(costOfText('x'.repeat(161), 0.4)).toBeCloseTo(0.8);
  });
});
