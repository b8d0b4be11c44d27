import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readReceived, stateOfStatus } from '../../../../src/core/texts/pdu/deliver.js';
import { hexOf, PduFault, packSeptets, unpackSeptets } from '../../../../src/core/texts/pdu/octets.js';
import { encodeSubmit, readSubmit } from '../../../../src/core/texts/pdu/submit.js';
import { validityOctet } from '../../../../src/core/texts/pdu/time.js';
import { readHeader } from '../../../../src/core/texts/pdu/user-data.js';
import { segments } from '../../../../src/core/texts/segments.js';
import { referenceRows } from '../reference-tables.js';

describe('PDUs of texts received', () => {
  // Source: tests/reference/deliver-pdus.tsv, kept because gammu 1.42.0 and npm pdu.ts 1.1.4 read the same text.
  test('are read as gammu and pdu.ts read them', () => {
    const rows = referenceRows('deliver-pdus.tsv');
    expect(rows.length).toBeGreaterThanOrEqual(51);
    for (const [kind = '', from, timeUtc, dcs, udh, text, pdu] of rows) {
      const read = readReceived(pdu ?? '');
      if (read.type !== 'text') throw new Error(`${kind}: read as a status report`);
      expect(read.body, kind).toBe(JSON.parse(text ?? ''));
      expect(read.from, kind).toBe(from);
      expect(read.dcs, kind).toBe(Number(dcs));
      expect(new Date(read.at ?? '').toISOString().replace('.000', ''), kind).toBe(timeUtc);
      expect(read.part !== undefined, kind).toBe(/(00 ?03|08 ?04)/.test(udh ?? ''));
    }
  });

  test('a status report names the text and what became of it', () => {
    // Octets by 3GPP TS 23.040 section 9.2.2.3: reference 0x2A, two time stamps, status.
    const report = (status: string) =>
      readReceived(`00062A0C91521700000010${'62115290410021'}${'62115290510021'}${status}`);
    expect(report('00')).toMatchObject({
      type: 'report',
      reference: 42,
      to: '+257100000001',
      at: '2026-11-25T09:15:00+03:00',
      state: 'delivered',
    });
    expect(report('46')).toMatchObject({ state: 'expired' });
    expect([0x00, 0x01, 0x30, 0x41, 0x63, 0xff].map(stateOfStatus)).toEqual([
      'delivered',
      'sent',
      'sent',
      'failed',
      'failed',
      'unknown',
    ]);
  });

  test('bytes that make no sense are a fault with words, never anything else', () => {
    fc.assert(
      fc.property(fc.array(fc.nat({ max: 255 }), { maxLength: 60 }), (octets) => {
        try {
          readReceived(hexOf(octets));
        } catch (error) {
          expect(error).toBeInstanceOf(PduFault);
        }
      }),
      { numRuns: 2_000 },
    );
    expect(() => readReceived('xyz')).toThrow(/hexadecimal/);
    expect(() => readReceived('00040C91')).toThrow(/ends inside its sender/);
  });
});

describe('PDUs of texts to send', () => {
  const rows = referenceRows('submit-pdus.tsv').map(([producer, to, text, part, length, pdu]) => ({
    producer,
    to: to ?? '',
    text: JSON.parse(text ?? '""') as string,
    part,
    length: Number(length),
    pdu: pdu ?? '',
  }));

  // Source: tests/reference/submit-pdus.tsv, captured from gammu, gammu-smsd, smstools and python3-gammu.
  test('of other programs are read back as the text that was given to them', () => {
    expect(rows.length).toBeGreaterThanOrEqual(48);
    const joined = new Map<string, string>();
    for (const row of rows) {
      const read = readSubmit(row.pdu);
      expect(read.to).toBe(row.to);
      const key = `${row.producer} ${row.text} ${row.part?.split('/')[1]}`;
      joined.set(key, (joined.get(key) ?? '') + read.text);
    }
    for (const row of rows) {
      expect(joined.get(`${row.producer} ${row.text} ${row.part?.split('/')[1]}`)).toBe(row.text);
    }
  });

  // What a 7-bit text of 8n-1 septets has in its last 7 bits is each program's choice, so those are not compared.
  test('are bit for bit what other programs make of a text of one part', () => {
    let compared = 0;
    for (const row of rows.filter((one) => one.part === '1/1')) {
      const [own] = encodeSubmit({ to: row.to, body: row.text, reference: 1, wantsReport: false });
      const theirs = readSubmit(row.pdu);
      const ours = readSubmit(own?.hex ?? '');
      expect([ours.dcs, ours.length, ours.text]).toEqual([theirs.dcs & 0x0c, theirs.length, row.text]);
      if (ours.length % 8 !== 7) expect(hexOf(ours.octets)).toBe(hexOf(theirs.octets));
      expect(own?.length).toBe((own?.hex.length ?? 0) / 2 - 1);
      compared += 1;
    }
    expect(compared).toBeGreaterThanOrEqual(19);
  });

  test('take as many parts as other programs take', () => {
    for (const row of rows.filter((one) => one.producer?.startsWith('python3-gammu'))) {
      expect(segments(row.text).parts.length, row.text).toBe(Number(row.part?.split('/')[1]));
    }
  });

  test('come back as the text that went in, whatever it is, and fit 140 octets', () => {
    const body = fc.string({
      unit: fc.constantFrom('a', 'é', '€', '\n', 'ሰ', '😀', 'ğ', '@'),
      maxLength: 400,
    });
    const shifts = fc.constantFrom([], [{ locking: 1, single: 1 }], [{ locking: 0, single: 1 }]);
    fc.assert(
      fc.property(body, shifts, (text, alphabets) => {
        const pdus = encodeSubmit({
          to: '+254700000001',
          body: text,
          reference: 300,
          wantsReport: true,
          validForSeconds: 3_600,
          alphabets: { shifts: alphabets },
        });
        const read = pdus.map((one) => readSubmit(one.hex));
        expect(read.map((one) => one.text).join('')).toBe(text);
        for (const [index, one] of read.entries()) {
          expect(one.octets.length).toBeLessThanOrEqual(140);
          expect(one.wantsReport).toBe(true);
          if (pdus.length > 1) {
            expect(one.header.part).toEqual({ ref: 44, number: index + 1, total: pdus.length });
          }
        }
      }),
    );
  });

  test('refuse a number that is none', () => {
    expect(() => encodeSubmit({ to: 'Clinic', body: 'x', reference: 1, wantsReport: false })).toThrow(
      /1 to 20 digits/,
    );
  });
});

describe('the small pieces', () => {
  test('septets come back from octets, whatever the fill', () => {
    fc.assert(
      fc.property(fc.array(fc.nat({ max: 127 })), fc.nat({ max: 6 }), (septets, fill) => {
        expect(unpackSeptets(packSeptets(septets, fill), septets.length, fill)).toEqual(septets);
      }),
    );
  });

  // Steps: 3GPP TS 23.040 section 9.2.3.12.1.
  test('a validity period never outlasts what was asked, once it is over five minutes', () => {
    const secondsOf = (octet: number) => {
      if (octet <= 143) return (octet + 1) * 300;
      if (octet <= 167) return 43_200 + (octet - 143) * 1_800;
      if (octet <= 196) return (octet - 166) * 86_400;
      return (octet - 192) * 604_800;
    };
    fc.assert(
      fc.property(fc.integer({ min: 300, max: 45_000_000 }), (seconds) => {
        const granted = secondsOf(validityOctet(seconds));
        expect(granted).toBeLessThanOrEqual(seconds);
        expect(granted).toBeGreaterThanOrEqual(Math.min(seconds, 38_102_400) * 0.45);
      }),
    );
    expect(validityOctet(10)).toBe(0);
  });

  test('a header that lies about its length, or about its parts, is survived', () => {
    expect(readHeader([0x00, 0x03, 0x01]).part).toBeUndefined();
    expect(readHeader([0x00, 0x03, 1, 2, 3]).part).toBeUndefined();
    expect(readHeader([0x70, 0x02, 9, 9, 0x08, 0x04, 1, 2, 3, 1]).part).toEqual({
      ref: 258,
      total: 3,
      number: 1,
    });
    expect(readHeader([0x25, 0x01, 99]).shift).toEqual({ locking: 0, single: 0 });
  });
});
