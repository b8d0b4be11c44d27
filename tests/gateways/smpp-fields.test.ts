import { describe, expect, test } from 'vitest';
import { submitsOf } from '../../src/gateways/smpp/encode.js';
import { readDeliver } from '../../src/gateways/smpp/read.js';
import { smppSettings as settings } from './smsc-stand-in.js';

const outbound = (body: string) => ({ id: 'ours', to: '+15550100101', body });

describe('the fields of SMPP', () => {
  test('reads receipts with their ids in another base, by text or by fields', () => {
    const hex = settings(1, { receiptIds: 'submit-hex-receipt-decimal' });
    const text =
      'id:0000000255 sub:001 dlvrd:000 submit date:2611250900 done date:2611250914 stat:UNDELIV err:045';
    const read = readDeliver(
      { esm_class: 4, data_coding: 0, short_message: Buffer.from(text) },
      hex,
      'unused',
    );
    expect(read).toMatchObject({
      type: 'report',
      report: { providerId: '255', state: 'failed', code: '045', at: '2026-11-25T09:14:00Z' },
    });
    const fields = { esm_class: 4, data_coding: 0, receipted_message_id: 'ab', message_state: 3 };
    expect(readDeliver(fields, settings(1), 'unused')).toMatchObject({
      report: { providerId: 'ab', state: 'expired' },
    });
  });

  test('writes sender names, short numbers, time limits and Latin-1 as the standard has them', () => {
    const text = { ...outbound('été {x}'), validForSeconds: 90_061 };
    const [named] = submitsOf({ ...text, from: 'Clinic' }, settings(1, { alphabet: 'latin-1' }), 1);
    expect(named).toMatchObject({
      source_addr: 'Clinic',
      source_addr_ton: 5,
      destination_addr: '15550100101',
      dest_addr_ton: 1,
      data_coding: 0,
      short_message: Buffer.from('été {x}', 'latin1'),
      validity_period: '000001010101000R',
    });
    const [wide] = submitsOf(outbound('5 € Ω'), settings(1, { alphabet: 'latin-1' }), 1);
    expect(wide).toMatchObject({ data_coding: 8 });
    const whole = submitsOf(outbound('x'.repeat(400)), settings(1, { longTexts: 'payload' }), 1);
    expect(whole).toHaveLength(1);
    expect(whole[0]?.message_payload).toHaveLength(400);
  });
});
