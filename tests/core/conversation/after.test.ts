import { describe, expect, it } from 'vitest';
import {
  onClosed,
  onText,
  onUnknownNumber,
  onWake,
  replyToUnknownNumber,
  startCheckIn,
} from '../../../src/core/conversation/step.js';
import type { Effect, Step, StoredConversation } from '../../../src/core/model/effects.js';
import type { StepFacts } from '../../../src/core/model/family.js';
import type { ChildId } from '../../../src/core/model/ids.js';
import { child, DAY, definitions, facts, HOUR, NOW, reading, rules } from './family.js';

const texts = (step: Step) => step.effects.flatMap((one) => (one.type === 'text' ? [one.wording] : []));
const types = (step: Step) => step.effects.map(({ type }) => type);
const flags = (step: Step) =>
  step.effects.flatMap((one) =>
    one.type === 'raise-flag' ? [`${one.flag.matter}:${one.flag.urgency}`] : [],
  );
const stored = (step: Step): StoredConversation | null => JSON.parse(JSON.stringify(step.conversation));
const MORNING = NOW - 7 * HOUR;

function closed(
  outcome: Parameters<typeof onClosed>[2]['outcome'],
  more: Partial<Parameters<typeof onClosed>[2]> = {},
) {
  return onClosed(definitions, rules, {
    matter: 'circulation',
    urgency: 'now',
    outcome,
    child: child(),
    facts: facts(),
    conversation: null,
    now: MORNING,
    ...more,
  });
}

describe('after a nurse has closed a matter', () => {
  it('the family hears what happens next, in sending hours, and is asked a day later whether it is better', () => {
    const step = closed('seen-at-clinic');
    expect(texts(step)).toEqual(['next-seen-at-clinic']);
    expect(step.effects[0]).toMatchObject({ ignoresHours: false });
    expect(step.effects).toContainEqual({ type: 'wake-at', at: MORNING + DAY, reason: 'follow-up' });
    expect(step.conversation?.state).toBe('done');
    const asked = onWake(definitions, rules, {
      reason: 'follow-up',
      facts: facts(),
      conversation: stored(step),
      now: MORNING + DAY,
    });
    expect(texts(asked)).toEqual(['ask-better']);
    const say = (text: string) =>
      onText(definitions, rules, {
        reading: reading(text),
        text,
        facts: facts(),
        conversation: stored(asked),
        now: MORNING + DAY + HOUR,
      });
    expect(texts(say('1'))).toEqual(['glad-better']);
    expect(flags(say('1'))).toEqual([]);
    expect(flags(say('3'))).toEqual(['circulation:today']);
    expect(say('3').conversation?.state).toBe('done');
  });

  it('silence to that question ends it without a call task: the matter was settled', () => {
    const step = closed('advice-given');
    const asked = onWake(definitions, rules, {
      reason: 'follow-up',
      facts: facts(),
      conversation: stored(step),
      now: MORNING + DAY,
    });
    const silent = onWake(definitions, rules, {
      reason: 'silence',
      facts: facts(),
      conversation: stored(asked),
      now: MORNING + 2 * DAY,
    });
    expect(silent.effects).toEqual([]);
    expect(silent.conversation?.state).toBe('done');
  });

  it('waits with that question while another one stands, and at night', () => {
    const step = closed('advice-given');
    const other = startCheckIn(definitions, rules, {
      checkIn: 'cast-mid',
      child: child(),
      facts: facts(),
      conversation: null,
      now: MORNING,
      for: 'x',
    });
    const input = { reason: 'follow-up', facts: facts(), conversation: stored(step) } as const;
    const busy = onWake(definitions, rules, { ...input, pending: stored(other), now: MORNING + DAY });
    const night = onWake(definitions, rules, { ...input, now: MORNING + DAY + 14 * HOUR });
    for (const later of [busy, night]) {
      expect(texts(later)).toEqual([]);
      expect(types(later)).toEqual(['wake-at']);
    }
  });

  it('leaves a family at the hospital in peace for two days, but for safety', () => {
    const step = closed('sent-to-emergency');
    expect(step.effects).toContainEqual({ type: 'be-quiet-until', at: MORNING + 2 * DAY, why: 'hospital' });
  });

  it('says nothing after a misreading, to a stopped number, or about a death', () => {
    expect(closed('wrongly-read').effects).toEqual([]);
    expect(closed('family-reached', { matter: 'died' }).effects).toEqual([]);
    const guardian = { ...facts().guardian, isStopped: true };
    expect(closed('family-reached', { facts: facts([child()], { guardian }) }).effects).toEqual([]);
  });

  it('does not ask about wishes, visits and silence', () => {
    for (const matter of ['request', 'visit', 'silent', 'unread'] as const) {
      expect(types(closed('family-reached', { matter, urgency: 'today' }))).toEqual(['text']);
    }
  });
});

describe('a check-in does not begin', () => {
  const start = (
    more: Partial<StepFacts>,
    checkIn: 'cast-day' | 'brace-week' = 'brace-week',
    conversation: StoredConversation | null = null,
  ) =>
    startCheckIn(definitions, rules, {
      checkIn,
      child: child(),
      facts: facts([child()], more),
      conversation,
      now: MORNING,
      for: 'x',
    });
  const { guardian } = facts();

  it('when the family had its texts for the week, unless danger days are due', () => {
    expect(start({ sentThisWeek: 4 })).toMatchObject({ notBegun: 'weekly-limit', effects: [] });
    expect(texts(start({ sentThisWeek: 4 }, 'cast-day'))).toEqual(['ask-toes']);
  });

  it('in mourning or at the hospital', () => {
    expect(start({ guardian: { ...guardian, quietUntil: MORNING + HOUR } }, 'cast-day')).toMatchObject({
      notBegun: 'quiet',
      effects: [],
    });
    expect(texts(start({ guardian: { ...guardian, quietUntil: MORNING - 1 } }))).toEqual(['ask-hours']);
  });

  it('on a stopped number, but on danger days a person calls', () => {
    const stopped = { guardian: { ...guardian, isStopped: true } };
    expect(start(stopped).effects).toEqual([]);
    expect(flags(start(stopped, 'cast-day'))).toEqual(['silent:today']);
  });

  it('for a family that does not read: a call task, and on danger days one plain text', () => {
    const unread = { guardian: { ...guardian, reads: false } };
    expect([texts(start(unread)), flags(start(unread))]).toEqual([[], ['silent:soon']]);
    expect([texts(start(unread, 'cast-day')), flags(start(unread, 'cast-day'))]).toEqual([
      ['simple-cast'],
      ['silent:today'],
    ]);
    expect(start(unread, 'cast-day').conversation).toBeNull();
  });

  it('while a question of the danger days stands; an everyday one gives way and its silence is told', () => {
    const danger = stored(start({}, 'cast-day'));
    expect(start({}, 'brace-week', danger)).toMatchObject({ notBegun: 'question-open', effects: [] });
    const everyday = stored(start({}, 'brace-week'));
    const step = start({}, 'cast-day', everyday);
    expect([texts(step), flags(step)]).toEqual([['ask-toes'], ['silent:soon']]);
  });
});

describe('set words', () => {
  const say = (text: string, more: Partial<StepFacts> = {}, read = reading(text)) =>
    onText(definitions, rules, {
      reading: read,
      text,
      facts: facts([child()], more),
      conversation: null,
      now: NOW,
    });
  const stopped = { guardian: { ...facts().guardian, isStopped: true } };

  it('START begins texts again, and only after a stop', () => {
    expect(types(say('START', stopped))).toEqual(['resume-texts', 'text']);
    expect(types(say('START'))).not.toContain('resume-texts');
  });

  it('a stopped number that writes of danger gets the safety text', () => {
    const step = say(
      'toes blue',
      stopped,
      reading('toes blue', { signs: ['toes-discoloured'], urgency: 'now' }),
    );
    expect(texts(step)).toEqual(['go-now-cast']);
    expect(say('hello', stopped).effects.filter(({ type }) => type === 'text')).toEqual([]);
  });

  it('a language asked for is written in at once', () => {
    const step = say('Kiswahili');
    expect(step.effects[0]).toEqual({ type: 'set-language', language: 'sw' });
    expect(step.effects[1]).toMatchObject({ wording: 'language-set', language: 'sw' });
  });

  it('a wrong number stops texts and leaves a person to find the right one', () => {
    const step = say('wrong number', {}, reading('wrong number', { intent: 'wrong-number' }));
    expect(flags(step)).toEqual(['unreachable:soon']);
    expect(step.effects).toContainEqual({
      type: 'stop-texts',
      scope: 'number',
      childId: null,
      why: 'wrong-number',
    });
    expect(texts(step)).toEqual(['wrong-number']);
  });

  it('a death with a sibling on the phone brings two weeks of quiet', () => {
    const sibling = child({ id: 'child-2' as ChildId, calledInTexts: 'Brian' });
    const said = 'Amina died';
    const family = facts([child(), sibling]);
    const step = onText(definitions, rules, {
      reading: reading(said, { signs: ['died'] }),
      text: said,
      facts: family,
      conversation: null,
      now: NOW,
    });
    expect(step.effects).toContainEqual({ type: 'be-quiet-until', at: NOW + 14 * DAY, why: 'mourning' });
    expect(step.effects).toContainEqual({
      type: 'stop-texts',
      scope: 'child',
      childId: 'child-1',
      why: 'died',
    });
  });
});

describe('a number nobody knows', () => {
  it('becomes one flag as urgent as its words, and danger is answered', () => {
    const red = onUnknownNumber(rules, reading('toes are blue', { signs: ['toes-discoloured'] }), NOW);
    expect(red).toMatchObject({ matter: 'unknown-number', urgency: 'now', rule: 'unknown-number' });
    expect(replyToUnknownNumber(red)).toEqual({ wording: 'go-now-unknown', lane: 'safety' });
    const plain = onUnknownNumber(rules, reading('hello'), NOW);
    expect(plain).toMatchObject({ matter: 'unknown-number', urgency: 'soon' });
    expect(replyToUnknownNumber(plain)).toEqual({ wording: 'unknown-number', lane: 'answer' });
  });
});

it('every effect of a step is plain data that JSON keeps', () => {
  const effects: Effect[] = [...closed('seen-at-clinic').effects];
  expect(JSON.parse(JSON.stringify(effects))).toEqual(effects);
});
