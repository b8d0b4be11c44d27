import { describe, expect, it } from 'vitest';
import { onText, onWake, startCheckIn } from '../../../src/core/conversation/step.js';
import type { Effect, Step, StoredConversation } from '../../../src/core/model/effects.js';
import type { ChildId } from '../../../src/core/model/ids.js';
import type { Reading } from '../../../src/core/model/reading.js';
import { child, definitions, facts, gibberish, MINUTE, NOW, reading, rules } from './family.js';

const begun = startCheckIn(definitions, rules, {
  checkIn: 'cast-day',
  child: child(),
  facts: facts(),
  conversation: null,
  now: NOW,
  for: '2026-03-04',
});

/** Stored and read back as JSON, as the shell does. */
function stored(step: Step): StoredConversation | null {
  return JSON.parse(JSON.stringify(step.conversation));
}

function say(
  text: string,
  conversation: StoredConversation | null,
  read: Reading = reading(text),
  family = facts(),
) {
  return onText(definitions, rules, {
    reading: read,
    text,
    facts: family,
    conversation,
    now: NOW + 10 * MINUTE,
  });
}

const texts = (step: Step) => step.effects.flatMap((one) => (one.type === 'text' ? [one.wording] : []));
const flags = (step: Step) =>
  step.effects.flatMap((one) =>
    one.type === 'raise-flag' ? [`${one.flag.matter}:${one.flag.urgency}`] : [],
  );
const ofType = <Type extends Effect['type']>(step: Step, type: Type) =>
  step.effects.filter((one): one is Extract<Effect, { type: Type }> => one.type === type);

describe('a check-in', () => {
  it('asks one question and sets the timer of its silence', () => {
    expect(texts(begun)).toEqual(['ask-toes']);
    expect(begun.conversation).toMatchObject({ checkIn: 'cast-day', state: 'asking', asked: 'toes' });
    expect(ofType(begun, 'wake-at')).toEqual([{ type: 'wake-at', at: NOW + 90 * MINUTE, reason: 'repeat' }]);
  });

  it('goes through its questions by digits and ends well without a flag', () => {
    const second = say('1', stored(begun));
    const third = say('1', stored(second));
    const last = say('1', stored(third));
    expect([texts(second), texts(third), texts(last)]).toEqual([['ask-crying'], ['ask-cast'], ['well-cast']]);
    expect(last.conversation?.state).toBe('done');
    expect([second, third, last].flatMap(flags)).toEqual([]);
  });

  it('takes a digit that stands for a danger sign as that sign', () => {
    const step = say('2', stored(begun));
    expect(flags(step)).toEqual(['circulation:now']);
    expect(texts(step)).toEqual(['go-now-cast', 'ask-going']);
    expect(ofType(step, 'text')[0]).toMatchObject({
      lane: 'safety',
      ignoresHours: true,
      promised: 'at-least-once',
    });
  });

  it('uses a text that answers another question than the one asked', () => {
    const said = 'the cast got wet in the rain';
    const step = say(said, stored(begun), reading(said, { signs: ['cast-wet'], urgency: 'today' }));
    expect(flags(step)).toEqual(['cast-damage:today']);
    expect(texts(step)).toEqual(['today-cast']);
    expect(step.conversation).toMatchObject({ state: 'asking', asked: 'toes' });
  });

  it('asks again in other words, then hands over to a person', () => {
    const once = say('hmm', stored(begun), gibberish('hmm'));
    expect(texts(once)).toEqual(['ask-toes-again']);
    expect(flags(once)).toEqual([]);
    const twice = say('hmm', stored(once), gibberish('hmm'));
    expect(flags(twice)).toEqual(['unread:today']);
    expect(twice.conversation?.state).toBe('done');
  });

  it('repeats once after silence, then raises a call task', () => {
    const repeat = onWake(definitions, rules, {
      reason: 'repeat',
      facts: facts(),
      conversation: stored(begun),
      now: NOW + 120 * MINUTE,
    });
    expect(texts(repeat)).toEqual(['ask-toes-again']);
    const silent = onWake(definitions, rules, {
      reason: 'silence',
      facts: facts(),
      conversation: stored(repeat),
      now: NOW + 240 * MINUTE,
    });
    expect(flags(silent)).toEqual(['silent:today']);
    expect(silent.conversation?.state).toBe('done');
  });
});

describe('a text about danger', () => {
  it('breaks through any conversation with the safety text and one question', () => {
    const said = 'toes are blue and cold';
    const red = reading(said, { signs: ['toes-discoloured', 'toes-cold'], urgency: 'now' });
    const step = say(said, stored(begun), red);
    expect(texts(step)).toEqual(['go-now-cast', 'ask-going']);
    const again = say(said, stored(step), red);
    expect(texts(again)).toEqual(['go-now-cast']);
  });

  it('asks for help when the family cannot go, about the same matter', () => {
    const said = 'toes are blue';
    const step = say(said, null, reading(said, { signs: ['toes-discoloured'], urgency: 'now' }));
    const cannot = say('2', stored(step));
    expect(flags(cannot)).toEqual(['circulation:now']);
    expect(texts(cannot)).toEqual(['call-now-help']);
    expect(cannot.conversation?.state).toBe('done');
  });
});

describe('a death', () => {
  it('stops every text about the child and answers nothing', () => {
    const said = 'our baby passed away. please no more messages';
    const step = say(
      said,
      stored(begun),
      reading(said, { signs: ['died'], intent: 'stop', urgency: 'today' }),
    );
    expect(texts(step)).toEqual([]);
    expect(flags(step)).toEqual(['died:today']);
    expect(ofType(step, 'stop-texts').map(({ scope }) => scope)).toEqual(['child', 'number']);
    expect(step.conversation?.state).toBe('done');
  });
});

describe('a stored conversation that does not fit its definition', () => {
  it('goes to a person, and the text is still judged', () => {
    const broken = { ...(begun.conversation as StoredConversation), snapshot: { value: 'nowhere' } };
    const step = say('1', broken);
    expect(flags(step)).toEqual(['unread:today']);
    expect(step.conversation?.state).toBe('done');
  });
});

describe('two children on one phone', () => {
  const amina = child();
  const brian = child({
    id: 'child-2' as ChildId,
    calledInTexts: 'Brian',
    phase: 'tenotomy',
    castDay: 2,
    tenotomyDay: 2,
  });
  const family = facts([amina, brian]);
  const whose = (step: Step) =>
    step.effects.flatMap((one) => (one.type === 'raise-flag' ? [`${one.childId} ${one.flag.matter}`] : []));

  it('a named child is meant, by name, letter case and possessive', () => {
    for (const said of ["brian's cast is wet", 'Brian: cast wet', 'cast of BRIAN wet']) {
      const step = say(said, null, reading(said, { signs: ['cast-wet'] }), family);
      expect(whose(step)).toEqual(['child-2 cast-damage']);
      expect(texts(step)).toEqual(['today-cast']);
    }
  });

  it('danger is answered at once, then the family is asked whom it is about', () => {
    const said = 'toes are blue';
    const step = say(said, null, reading(said, { signs: ['toes-discoloured'], urgency: 'now' }), family);
    expect(texts(step)).toEqual(['go-now-cast', 'ask-which-child']);
    expect(whose(step)).toHaveLength(1);
    const answer = say('2', stored(step), reading('2'), family);
    expect(whose(answer)).toContain('child-2 circulation');
    expect(texts(answer)).toEqual(['go-now-cast', 'ask-going']);
  });

  it('the first flag stays, with a note, when the family meant the other child', () => {
    const said = 'the cast is wet';
    const step = say(said, null, reading(said, { signs: ['cast-wet'] }), family);
    const [first] = ofType(step, 'raise-flag');
    const other = first?.childId === amina.id ? brian : amina;
    const answer = say(other.calledInTexts, stored(step), reading(other.calledInTexts), family);
    expect(whose(answer)).toEqual([`${other.id} cast-damage`]);
    expect(ofType(answer, 'add-to-flag')).toMatchObject([{ childId: first?.childId, matter: 'cast-damage' }]);
  });

  it('a new sign in the answer counts as well as what was held', () => {
    const said = 'the cast is wet';
    const step = say(said, null, reading(said, { signs: ['cast-wet'] }), family);
    const more = 'Brian, and his toes are cold';
    const answer = say(more, stored(step), reading(more, { signs: ['toes-cold'], urgency: 'now' }), family);
    expect(whose(answer)).toEqual(['child-2 circulation', 'child-2 cast-damage']);
    expect(texts(answer)[0]).toBe('go-now-cast');
  });

  it('what can only be about one of them is about that one', () => {
    const inBrace = child({
      id: 'child-3' as ChildId,
      calledInTexts: 'Cyrus',
      phase: 'brace-night',
      castDay: null,
      wearTargetHours: 12,
    });
    const step = say('12', null, reading('12', { hours: 12 }), facts([amina, inBrace]));
    expect(ofType(step, 'record-wear')).toMatchObject([{ childId: 'child-3', low: 12, high: 12 }]);
  });

  it('a single letter names a child only when it stands for one', () => {
    const [a, b] = [child({ calledInTexts: 'A' }), child({ id: 'child-2' as ChildId, calledInTexts: 'B' })];
    const said = 'a blister on the leg';
    const unsure = say(said, null, reading(said, { signs: ['skin-sore'] }), facts([a, b]));
    expect(texts(unsure)).toEqual(['ask-which-child']);
    const sure = say(
      "B's skin is sore",
      null,
      reading("B's skin is sore", { signs: ['skin-sore'] }),
      facts([a, b]),
    );
    expect(whose(sure)).toEqual(['child-2 skin']);
  });
});

describe('one text, one trouble', () => {
  it('a question beside a danger sign is answered by whoever sees to the sign', () => {
    const asked = reading('blue, what do I do', {
      signs: ['toes-discoloured'],
      intent: 'question',
      urgency: 'now',
    });
    expect(flags(say('blue, what do I do', null, asked))).toEqual(['circulation:now']);
  });

  it('a text that only asks to stop raises only that', () => {
    const stop = reading('STOP', { intent: 'stop', urgency: 'soon' });
    expect(flags(say('STOP', null, stop))).toEqual(['stop:soon']);
  });

  it('words of a language nobody taught the reader reach a person at once, and the question is asked again', () => {
    const step = say(
      'варианты пальцев',
      stored(begun),
      reading('варианты пальцев', { understood: 0, urgency: 'soon' }),
    );
    expect(flags(step)).toEqual(['unread:soon']);
    expect(texts(step)).toEqual(['ask-toes-again']);
  });
});
