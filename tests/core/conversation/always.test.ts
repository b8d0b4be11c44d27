import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChildFacts } from '../../../src/core/model/family.js';
import type { ChildId } from '../../../src/core/model/ids.js';
import type { Reading } from '../../../src/core/model/reading.js';
import { INTENTS, READING_PHASES, SIGNS, type Sign } from '../../../src/core/model/signs.js';
import { CHECK_INS } from '../../../src/core/model/texts.js';
import { child, definitions, reading } from './family.js';
import { Play } from './play.js';

/** More with PROPERTY_RUNS=5000; each run is a whole history of a family. */
const RUNS = Number(process.env.PROPERTY_RUNS ?? 300);

/** Signs that are urgent in a cast by the published leaflets named in triage.yaml, whatever else is said. */
const RED_IN_CAST: readonly Sign[] = [
  'toes-discoloured',
  'toes-cold',
  'toes-swollen',
  'toes-not-moving',
  'cast-tight',
  'unwell',
];

const livingSigns: Sign[] = SIGNS.filter((sign) => sign !== 'died');
const anyReading: fc.Arbitrary<{ text: string; read: Reading }> = fc
  .record({
    text: fc.oneof(
      fc.constantFrom('1', '2', '3', '4', 'yes', 'no', 'hmm', 'START', 'kiswahili', 'Amina'),
      fc.string({ unit: 'binary' }),
    ),
    signs: fc.subarray(livingSigns, { maxLength: 2 }),
    denied: fc.subarray(livingSigns, { maxLength: 2 }),
    hours: fc.option(fc.integer({ min: 0, max: 24 }), { nil: null }),
    intent: fc.option(fc.constantFrom(...INTENTS), { nil: null }),
    urgency: fc.constantFrom('none', 'none', 'soon', 'today' as const),
    understood: fc.constantFrom(1, 1, 0.2),
  })
  .map(({ text, ...more }) => ({ text, read: reading(text, more) }));

const redReading = fc
  .record({
    red: fc.constantFrom(...RED_IN_CAST),
    others: fc.subarray(livingSigns, { maxLength: 2 }),
    intent: fc.option(fc.constantFrom(...INTENTS), { nil: null }),
  })
  .map(({ red, others, intent }) => ({
    text: 'danger',
    read: reading('danger', {
      signs: SIGNS.filter((sign) => sign === red || others.includes(sign)),
      intent,
      urgency: 'now',
    }),
  }));

type Happening =
  | { readonly kind: 'text'; readonly text: string; readonly read: Reading }
  | { readonly kind: 'wait' }
  | { readonly kind: 'check-in'; readonly checkIn: (typeof CHECK_INS)[number]; readonly of: number };

const happening: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 5, arbitrary: anyReading.map((one) => ({ kind: 'text' as const, ...one })) },
  { weight: 1, arbitrary: fc.constant({ kind: 'wait' as const }) },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('check-in' as const),
      checkIn: fc.constantFrom(...CHECK_INS),
      of: fc.nat(1),
    }),
  },
);

const inCast: fc.Arbitrary<ChildFacts> = fc
  .record({ phase: fc.constantFrom('cast', 'tenotomy', null), castDay: fc.constantFrom(0, 3, null) })
  .map((facts) => child(facts));
const family: fc.Arbitrary<ChildFacts[]> = fc.oneof(
  inCast.map((one) => [one]),
  fc
    .tuple(inCast, fc.constantFrom(...READING_PHASES))
    .map(([one, phase]) => [
      one,
      child({ id: 'child-2' as ChildId, calledInTexts: 'Brian', phase, castDay: 2 }),
    ]),
);

function live(play: Play, happenings: readonly Happening[], after?: (play: Play) => void): void {
  for (const one of happenings) {
    if (one.kind === 'text') play.say(one.text, one.read);
    if (one.kind === 'wait') play.wait();
    if (one.kind === 'check-in') play.start(one.checkIn, play.children[one.of % play.children.length]);
    after?.(play);
  }
}

const history = fc.array(happening, { maxLength: 10 });

describe('whatever went before', () => {
  it('a red sign in a cast yields an urgent flag and one safety text at once', () => {
    fc.assert(
      fc.property(family, history, redReading, (children, before, red) => {
        const play = new Play(definitions, children);
        live(play, before);
        const step = play.say(red.text, red.read);
        const safety = step.effects.filter((one) => one.type === 'text' && one.lane === 'safety');
        expect(safety).toHaveLength(1);
        expect(safety[0]).toMatchObject({
          promised: 'at-least-once',
          ignoresHours: true,
          expires: null,
          notBefore: null,
        });
        expect(step.effects.some((one) => one.type === 'raise-flag' && one.flag.urgency === 'now')).toBe(
          true,
        );
        expect(play.asked.length).toBeLessThanOrEqual(1);
      }),
      { numRuns: RUNS },
    );
  });

  it('there are never two questions pending, and each step sends at most one', () => {
    fc.assert(
      fc.property(family, history, (children, all) => {
        const play = new Play(definitions, children);
        live(play, all, () => {
          expect(play.asked.length).toBeLessThanOrEqual(1);
          if (play.asked.length === 1) expect(play.conversation?.state).toBe('asking');
        });
      }),
      { numRuns: RUNS },
    );
  });

  it('a question that stands has a timer, so that silence always ends with a person or an end', () => {
    fc.assert(
      fc.property(family, history, (children, all) => {
        const play = new Play(definitions, children);
        live(play, all);
        for (let turns = 0; play.conversation?.state === 'asking'; turns += 1) {
          expect(turns).toBeLessThan(4);
          expect(play.wake).not.toBeNull();
          play.wait();
        }
      }),
      { numRuns: RUNS },
    );
  });

  it('one trouble of one child is one open matter, and its urgency never falls', () => {
    fc.assert(
      fc.property(family, history, (children, all) => {
        const play = new Play(definitions, children);
        const rank = { none: 0, soon: 1, today: 2, now: 3 };
        let before = new Map<string, number>();
        live(play, all, () => {
          for (const [key, urgency] of before)
            expect(rank[play.flags.get(key)?.urgency ?? 'none']).toBeGreaterThanOrEqual(urgency);
          before = new Map([...play.flags].map(([key, { urgency }]) => [key, rank[urgency]]));
        });
        const step =
          all.length > 0
            ? play.say('again', reading('again', { signs: ['toes-cold'], urgency: 'now' }))
            : null;
        const raised =
          step?.effects.flatMap((one) =>
            one.type === 'raise-flag' ? [`${one.childId} ${one.flag.matter}`] : [],
          ) ?? [];
        expect(new Set(raised).size).toBe(raised.length);
      }),
      { numRuns: RUNS },
    );
  });

  it('no text is passed over: it is answered, flagged, noted, recorded, or plainly needs nothing', () => {
    const needsNothing = (read: Reading) =>
      read.intent === 'thanks' ||
      read.intent === 'coming' ||
      read.intent === 'other-person-news' ||
      read.intent === 'all-well';
    fc.assert(
      fc.property(family, history, anyReading, (children, before, { text, read }) => {
        const play = new Play(definitions, children);
        live(play, before);
        const step = play.say(text, read);
        if (step.effects.length === 0 && !play.isStopped) expect(needsNothing(read)).toBe(true);
        if (read.signs.length > 0) expect(step.effects.some((one) => one.type === 'raise-flag')).toBe(true);
      }),
      { numRuns: RUNS },
    );
  });

  it('STOP ends texts to the number at once, with one confirmation at most, and the questions with it', () => {
    fc.assert(
      fc.property(family, history, (children, before) => {
        const play = new Play(definitions, children);
        live(play, before);
        const wasStopped = play.isStopped;
        const step = play.say('STOP', reading('STOP', { intent: 'stop' }));
        const sent = step.effects.flatMap((one) => (one.type === 'text' ? [one.wording] : []));
        expect(sent).toEqual(wasStopped ? [] : ['stopped']);
        expect(play.isStopped).toBe(true);
        expect(play.conversation?.state).not.toBe('asking');
        expect(play.start('brace-week').effects.some((one) => one.type === 'text')).toBe(false);
      }),
      { numRuns: RUNS },
    );
  });

  it('a death ends everything without a word', () => {
    fc.assert(
      fc.property(family, history, fc.subarray(livingSigns, { maxLength: 2 }), (children, before, others) => {
        const play = new Play(definitions, children);
        live(play, before);
        const step = play.say(
          'she died',
          reading('she died', { signs: SIGNS.filter((one) => one === 'died' || others.includes(one)) }),
        );
        expect(step.effects.some((one) => one.type === 'text')).toBe(false);
        expect(step.effects).toContainEqual(expect.objectContaining({ type: 'stop-texts', why: 'died' }));
        expect(step.effects.flatMap((one) => (one.type === 'raise-flag' ? [one.flag.matter] : []))).toContain(
          'died',
        );
        expect(play.conversation?.state).not.toBe('asking');
      }),
      { numRuns: RUNS },
    );
  });

  it('a stored conversation survives JSON: the same text gives the same step', () => {
    fc.assert(
      fc.property(family, history, anyReading, (children, before, { text, read }) => {
        const [one, other] = [new Play(definitions, children), new Play(definitions, children)];
        live(one, before);
        live(other, before);
        other.conversation = JSON.parse(JSON.stringify(other.conversation));
        expect(other.say(text, read)).toEqual(one.say(text, read));
      }),
      { numRuns: RUNS },
    );
  });
});
