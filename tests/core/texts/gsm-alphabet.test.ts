import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decodeSeptets, ESCAPE, encodeSeptets, isKnownShift } from '../../../src/core/texts/gsm-alphabet.js';
import { referenceRows } from './reference-tables.js';

const character = (codePoint: string) => String.fromCodePoint(Number.parseInt(codePoint.slice(2), 16));

describe('the GSM alphabet', () => {
  // Source: Unicode's GSM0338.TXT 2.0, with 0x09 as in 3GPP TS 23.038.
  test('is the published one, both ways, 137 characters and no more', () => {
    const rows = referenceRows('gsm0338.tsv');
    expect(rows).toHaveLength(137);
    const known = new Set<string>();
    for (const [table, hex, codePoint] of rows) {
      const septet = Number(hex);
      const septets = table === 'ext' ? [ESCAPE, septet] : [septet];
      expect(encodeSeptets(character(codePoint ?? ''))).toEqual(septets);
      expect(decodeSeptets(septets)).toBe(character(codePoint ?? ''));
      known.add(character(codePoint ?? ''));
    }
    for (let code = 0; code < 0x3000; code += 1) {
      const one = String.fromCodePoint(code);
      if (!known.has(one)) expect(encodeSeptets(one), `U+${code.toString(16)}`).toBeUndefined();
    }
  });

  // Source: 3GPP TS 23.038 annex A as transcribed in gsmcodecs, lib3gpp23038 and Android, cell by cell.
  test('has the published national tables, both ways, save the two cells in dispute', () => {
    let cells = 0;
    for (const [id, , table, , hex, codePoint] of referenceRows('gsm-national-shift-tables.tsv')) {
      const septet = Number(hex);
      if (septet === ESCAPE || (id === '7' && table === 'locking' && septet === 0x24)) continue;
      const isLocking = table === 'locking';
      const shift = isLocking ? { locking: Number(id), single: 0 } : { locking: 0, single: Number(id) };
      const wanted = character(codePoint ?? '');
      expect(decodeSeptets(isLocking ? [septet] : [ESCAPE, septet], shift)).toBe(wanted);
      const written = encodeSeptets(wanted, shift);
      expect(decodeSeptets(written ?? [], shift)).toBe(wanted);
      cells += 1;
    }
    expect(cells).toBeGreaterThan(2_350);
  });

  test('comes back as it went in, whatever the tables', () => {
    const shift = fc
      .record({ locking: fc.nat({ max: 13 }), single: fc.nat({ max: 13 }) })
      .filter((one) => isKnownShift(one));
    fc.assert(
      fc.property(shift, fc.array(fc.nat({ max: 127 })), (tables, septets) => {
        const text = decodeSeptets(septets, tables);
        const again = encodeSeptets(text, tables);
        if (again) expect(decodeSeptets(again, tables)).toBe(text);
        else expect(text).toContain('\ufffd');
      }),
    );
  });

  test('shows something for an escape that means nothing, as TS 23.038 6.2.1.1 asks', () => {
    expect(decodeSeptets([ESCAPE, 0x41])).toBe('A');
    expect(decodeSeptets([ESCAPE, ESCAPE])).toBe(' ');
    expect(decodeSeptets([0x41, ESCAPE])).toBe('A ');
  });

  test('refuses tables that do not exist', () => {
    expect(isKnownShift({ locking: 2, single: 0 })).toBe(false);
    expect(() => encodeSeptets('a', { locking: 2, single: 0 })).toThrow(/no locking shift table 2/);
  });
});
