import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type NurseFlag, onNurseText } from '../../../src/core/conversation/nurse-step.js';
import { OUTCOME_WORDS, readNurseText, shortName } from '../../../src/core/conversation/nurse-text.js';
import { FLAG_OUTCOMES } from '../../../src/core/model/flag.js';
import type { FlagId, StaffId } from '../../../src/core/model/ids.js';
import { fillWording } from '../../../src/core/texts/wording.js';
import { messages } from './family.js';

const me = 'nurse-1' as StaffId;
const other = 'nurse-2' as StaffId;
const flag = (name: string, more: Partial<NurseFlag> = {}): NurseFlag => ({
  id: `flag-${name}` as FlagId,
  name,
  matter: 'circulation',
  urgency: 'now',
  state: 'open',
  takenBy: null,
  child: 'Amina',
  words: 'toes are cold',
  ...more,
});
const send = (text: string, open: readonly NurseFlag[]) => {
  const { effects, reply } = onNurseText(readNurseText(text), { staffId: me, open, codeOfTheDay: '4711' });
  return { does: effects.map(({ type }) => type), effects, says: reply.wording, reply };
};

describe('a nurse on call with only a phone', () => {
  it.each([
    ['TAKE K7', { kind: 'take', name: 'K7' }],
    ['take k7.', { kind: 'take', name: 'K7' }],
    ['t K7', { kind: 'take', name: 'K7' }],
    ['Take', { kind: 'take', name: null }],
    ['ASK K7: are the toes pink now?', { kind: 'ask', name: 'K7', words: 'are the toes pink now?' }],
    ['say k7 please come at 9', { kind: 'say', name: 'K7', words: 'please come at 9' }],
    ['say I come to K7', { kind: 'say', name: null, words: 'I come to K7' }],
    [
      'close K7 reached 4711',
      { kind: 'close', name: 'K7', outcome: 'family-reached', code: '4711', note: '' },
    ],
    [
      'c k7 4711 seen, toes pink',
      { kind: 'close', name: 'K7', outcome: 'seen-at-clinic', code: '4711', note: 'toes pink' },
    ],
    ['list', { kind: 'list' }],
    ['ok thanks', { kind: 'unclear' }],
    ['say K7', { kind: 'unclear' }],
    ['', { kind: 'unclear' }],
  ])('"%s" is read', (text, wanted) => {
    expect(readNurseText(text)).toEqual(wanted);
  });

  it('takes, asks and answers; asking and answering take it too', () => {
    expect(send('take K7', [flag('K7')])).toMatchObject({ does: ['take-flag'], says: 'staff-taken' });
    expect(send('ask K7 toes pink?', [flag('K7')])).toMatchObject({ does: ['take-flag', 'text-family'] });
    const own = flag('K7', { takenBy: me });
    expect(send('say K7 come at 9', [own]).effects).toEqual([
      { type: 'text-family', flagId: own.id, words: 'come at 9', expectsAnswer: false },
    ]);
  });

  it('closes an urgent matter only with the code of the day and an outcome', () => {
    const own = flag('K7', { takenBy: me });
    expect(send('close K7 reached', [own])).toMatchObject({ does: [], says: 'staff-needs-code' });
    expect(send('close K7 reached 1234', [own])).toMatchObject({ does: [], says: 'staff-needs-code' });
    expect(send('close K7 4711', [own])).toMatchObject({ does: [], says: 'staff-needs-outcome' });
    expect(send('close K7 reached 4711', [own])).toMatchObject({
      does: ['close-flag'],
      says: 'staff-closed',
    });
    const soon = flag('A2', { takenBy: me, urgency: 'soon' });
    expect(send('close A2 advice', [soon]).does).toEqual(['close-flag']);
  });

  it('cannot touch what another nurse has taken, nor what is not open', () => {
    for (const text of ['take K7', 'say K7 hello', 'close K7 reached 4711']) {
      expect(send(text, [flag('K7', { takenBy: other })])).toMatchObject({
        does: [],
        says: 'staff-not-taken',
      });
      expect(send(text, [flag('A2')])).toMatchObject({ does: [], says: 'staff-no-such' });
    }
  });

  it('need not name the only matter that can be meant', () => {
    expect(send('take', [flag('K7')]).does).toEqual(['take-flag']);
    expect(send('take', [flag('K7'), flag('A2')])).toMatchObject({ does: [], says: 'staff-no-such' });
    expect(send('close reached 4711', [flag('K7', { takenBy: me }), flag('A2')]).does).toEqual([
      'close-flag',
    ]);
  });

  it('is answered in words that exist, whatever she writes', () => {
    const open = [flag('K7'), flag('A2', { takenBy: other }), flag('B3', { takenBy: me, urgency: 'today' })];
    const words = fc.oneof(
      fc.string(),
      fc.constantFrom('take K7', 'say A2 x', `say B3 ${'x'.repeat(400)}`, 'close B3', 'list'),
    );
    fc.assert(
      fc.property(words, (text) => {
        const { reply } = send(text, open);
        expect(fillWording(messages, reply.wording, 'en', reply.values).body).not.toMatch(/[{}]/);
      }),
    );
  });

  it('is told a name and the family\u2019s words only once she has taken the matter', () => {
    const say = (text: string) => {
      const { reply } = send(text, [flag('K7')]);
      return fillWording(messages, reply.wording, 'en', reply.values).body;
    };
    expect(say('list')).not.toMatch(/Amina|toes/);
    expect(say('take K7')).toContain('Amina: "toes are cold"');
  });

  it('has a word for every outcome', () => {
    expect(new Set(Object.values(OUTCOME_WORDS))).toEqual(new Set(FLAG_OUTCOMES));
  });
});

it('short names are told apart by eye and come round after 168', () => {
  const names = Array.from({ length: 168 }, (_, place) => shortName(place));
  expect(new Set(names).size).toBe(168);
  expect(names.join('')).not.toMatch(/[01OISZQ]/);
  expect(shortName(168)).toBe(shortName(0));
});
