import { describe, expect, it } from 'vitest';
import type { ChildFacts } from '../../../src/core/model/family.js';
import type { Reading } from '../../../src/core/model/reading.js';
import { SIGNS, type Sign } from '../../../src/core/model/signs.js';
import { triage } from '../../../src/core/triage/triage.js';
import { child, DAY, HOUR, NOW, reading, rules } from '../conversation/family.js';

const clinic = { timeZone: 'Africa/Nairobi' };

function judge(text: string, read: Partial<Reading>, who: Partial<ChildFacts> | null = {}) {
  const flags = triage(rules, {
    reading: reading(text, read),
    text,
    child: who === null ? null : child(who),
    clinic,
    openMatters: [],
    now: NOW,
  });
  return flags.map(({ rule, urgency }) => `${rule} ${urgency}`);
}

const signs = (...list: Sign[]) => ({ signs: list });
const brace = { phase: 'brace-night', castDay: null, wearTargetHours: 12 } as const;
/** `months` completed months of age on the day of the tests. */
const aged = (months: number, days = 0) => {
  const born = new Date(NOW);
  born.setUTCMonth(born.getUTCMonth() - months);
  return { born: new Date(born.getTime() - days * DAY).toISOString().slice(0, 10) };
};

describe('fever by age, NICE NG143 (under 3 months from 38 degrees red, 3 to 6 months from 39 amber)', () => {
  const fever = signs('fever');
  it.each([
    ['a newborn at 38.0', 'fever 38.0', aged(0, 10), 'fever-under-3-months now'],
    ['the day before 3 months, 38.0', '38', aged(2, 27), 'fever-under-3-months now'],
    ['under 3 months, in Fahrenheit', 'temp 100.4 F', aged(1), 'fever-under-3-months now'],
    ['under 3 months, hot without a thermometer', 'he is burning', aged(1), 'fever-under-3-months now'],
    ['under 3 months, measured 37.6', 'fever? 37.6', aged(1), 'fever today'],
    ['3 months to the day, 38.5', 'fever 38.5', aged(3), 'fever today'],
    ['4 months at 39.0', 'fever 39', aged(4), 'fever-3-to-6-months today'],
    ['4 months at 39.0 in Bengali digits', 'জ্বর ৩৯.০', aged(4), 'fever-3-to-6-months today'],
    ['4 months, not measured', 'hot', aged(4), 'fever-3-to-6-months today'],
    ['6 months to the day, 39.5', 'fever 39.5', aged(6), 'fever today'],
  ])('%s', (_, text, who, wanted) => {
    expect(judge(text, fever, { ...who, ...brace })).toEqual([wanted]);
  });

  it('with smell is urgent at every age', () => {
    expect(judge('fever and it stinks', signs('smell', 'fever'), aged(20))).toEqual(['fever-with-smell now']);
  });
});

describe('a cast', () => {
  it.each(['toes-discoloured', 'toes-cold', 'toes-swollen', 'toes-not-moving'] as const)(
    '%s is urgent in every cast, whatever its day',
    (sign) => {
      for (const castDay of [0, 1, 6, 20, null]) {
        expect(judge('x', signs(sign), { castDay })).toEqual(['toes-in-cast now']);
      }
    },
  );

  it('hurts urgently after its first day, even with pink toes', () => {
    const pink = { signs: ['pain'] as const, denied: ['toes-discoloured'] as const };
    expect(judge('cries all day, toes pink', pink, { castDay: 1 })).toEqual(['pain-in-cast now']);
    expect(judge('cries', signs('pain'), { castDay: null })).toEqual(['pain-in-cast now']);
  });

  it('that makes a child cry on its first day is asked about, and is urgent when it goes on for 2 hours', () => {
    expect(judge('cries', signs('pain'), { castDay: 0 })).toEqual(['pain-first-day today']);
    const told = (ago: number) => ({ castDay: 0, recentSigns: [{ sign: 'pain' as const, at: NOW - ago }] });
    expect(judge('still cries', signs('pain'), told(HOUR))).toEqual(['pain-first-day today']);
    expect(judge('still cries', signs('pain'), told(2 * HOUR))).toEqual(['pain-goes-on now']);
  });

  it('wet on a third day within a month goes to a senior at once', () => {
    const wet = (...daysAgo: number[]) => ({
      recentSigns: daysAgo.map((days) => ({ sign: 'cast-wet' as const, at: NOW - days * DAY })),
    });
    expect(judge('wet', signs('cast-wet'), wet(6))).toEqual(['cast-damaged today']);
    expect(judge('wet', signs('cast-wet'), wet(6, 6, 6))).toEqual(['cast-damaged today']);
    expect(judge('wet', signs('cast-wet'), wet(6, 13))).toEqual(['cast-damaged-third-time now']);
    expect(judge('wet', signs('cast-wet'), wet(6, 31))).toEqual(['cast-damaged today']);
  });

  it('with a blood stain: what the reader took for real bleeding is urgent, a small stain is asked about', () => {
    expect(judge('blood runs', { signs: ['bleeding'], urgency: 'now' })).toEqual(['bleeding now']);
    expect(judge('small dry spot', { signs: ['bleeding'], urgency: 'soon' })).toEqual([
      'bleeding-small today',
    ]);
  });
});

describe('what is not known', () => {
  it('counts as fitting: cold toes of a child in no known phase are urgent', () => {
    expect(judge('toes cold', signs('toes-cold'), { phase: null, castDay: null })).toEqual([
      'toes-in-cast now',
    ]);
    expect(judge('toes cold', signs('toes-cold'), null)).toEqual(['toes-in-cast now']);
  });

  it('never makes a sign less urgent than the same sign in any known phase', () => {
    const rank = { none: 0, soon: 1, today: 2, now: 3 };
    const top = (sign: Sign, phase: ChildFacts['phase']) => {
      const input = { reading: reading('x', signs(sign)), clinic, openMatters: [], now: NOW };
      const [flag] = triage(rules, { ...input, child: child({ phase, castDay: null }) });
      return rank[flag?.urgency ?? 'none'];
    };
    for (const sign of SIGNS) {
      for (const phase of ['cast', 'tenotomy', 'brace-day', 'brace-night'] as const) {
        expect(top(sign, null), `${sign} ${phase}`).toBeGreaterThanOrEqual(top(sign, phase));
        expect(top(sign, phase), `${sign} ${phase}`).toBeGreaterThanOrEqual(rank.soon);
      }
    }
  });
});

describe('one flag per matter', () => {
  it('collects the signs of one trouble', () => {
    const flags = triage(rules, {
      reading: reading('blue cold swollen', signs('toes-discoloured', 'toes-cold', 'toes-swollen')),
      child: child(),
      clinic,
      openMatters: [],
      now: NOW,
    });
    expect(flags.map(({ matter }) => matter)).toEqual(['circulation']);
    expect(flags[0]?.signs).toEqual(['toes-discoloured', 'toes-cold', 'toes-swollen']);
    expect(flags[0]?.reason).toContain('toes have changed colour, toes are cold, toes are swollen');
  });

  it('lists two troubles, the more urgent first', () => {
    expect(judge('wet, and toes blue', signs('cast-wet', 'toes-discoloured'))).toEqual([
      'toes-in-cast now',
      'cast-damaged today',
    ]);
  });

  it('leaves only the death when a child has died', () => {
    expect(judge('her toes were blue and she died', signs('toes-discoloured', 'died'))).toEqual([
      'died today',
    ]);
  });
});

describe('the reader and the rules', () => {
  it('may each raise: an alarming text without a sign is a flag of that urgency', () => {
    expect(judge('something is very wrong', { urgency: 'now' })).toEqual(['reader-alarmed now']);
    expect(judge('red mark', { signs: ['skin-red'], urgency: 'today' }, brace)).toEqual(['skin-red today']);
  });

  it('neither lowers: a reader that sees no urgency does not soften a rule', () => {
    expect(judge('toes cold', { signs: ['toes-cold'], urgency: 'none' })).toEqual(['toes-in-cast now']);
  });

  it('a text not understood goes to a person, one that is well does not', () => {
    expect(judge('xq zzt', { understood: 0.1, urgency: 'soon' }, brace)).toEqual(['unread soon']);
    expect(judge('xq zzt', { understood: 0.1, urgency: 'soon' })).toEqual(['unread-in-cast soon']);
    expect(judge('all fine', { intent: 'all-well' })).toEqual([]);
  });
});

describe('wear', () => {
  it.each([
    [23, 'brace-day', []],
    [14, 'brace-day', ['few-hours-full-time soon']],
    [7, 'brace-day', ['very-few-hours-full-time today']],
    [8, 'brace-night', []],
    [7.5, 'brace-night', ['few-hours-nights soon']],
  ] as const)('%d hours in %s', (hours, phase, wanted) => {
    expect(judge(String(hours), { hours }, { phase, castDay: null })).toEqual(wanted);
  });

  it('of a range counts its lower end', () => {
    expect(judge('7-9', { hours: [7, 9] }, brace)).toEqual(['few-hours-nights soon']);
  });
});
