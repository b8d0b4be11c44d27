import { describe, expect, it } from 'vitest';
import { tellHistory } from '../../../src/core/course/history.js';
import { reachesAim, trajectory } from '../../../src/core/course/trajectory.js';
import type { CourseEvent, FootFindings } from '../../../src/core/model/course-events.js';
import { courseOf, input, protocolNamed, TO_BRACE } from './example-children.js';

const WEEKS = [
  '2026-01-05',
  '2026-01-12',
  '2026-01-19',
  '2026-01-26',
  '2026-02-02',
  '2026-02-09',
  '2026-02-16',
  '2026-02-23',
  '2026-03-02',
];

/** Weekly casts of a left foot with what was found at each. */
function weekly(findings: readonly FootFindings[]): CourseEvent[] {
  return findings.map((left, i) => ({ type: 'cast', date: WEEKS[i] ?? '', number: i + 1, feet: { left } }));
}

const alertsOf = (events: readonly CourseEvent[], asOf: string) =>
  courseOf({ feet: ['left'], events, asOf }).alerts.filter(
    (alert) => alert.foot === 'left' || alert.code.startsWith('brace-maybe'),
  );
const codes = (events: readonly CourseEvent[], asOf = events.at(-1)?.date ?? '') =>
  alertsOf(events, asOf).map((alert) => alert.code);
const thigh = (abduction: number, more: FootFindings = {}): FootFindings => ({
  abduction,
  abductionAngle: 'thigh-foot',
  ...more,
});
const signs = (hind: 0 | 0.5 | 1, mid: 0 | 0.5 | 1, talus: 0 | 0.5 | 1) => ({
  posteriorCrease: hind,
  emptyHeel: hind,
  rigidEquinus: hind,
  curvedLateralBorder: mid,
  medialCrease: mid,
  lateralHeadOfTalus: talus,
});

describe('a foot on its way through the casts', () => {
  it('that gains its degrees and loses its points raises nothing', () => {
    expect(
      codes(
        weekly([
          thigh(-10, { pirani: 5.5 }),
          thigh(5, { pirani: 4.5 }),
          thigh(20, { pirani: 3.5 }),
          thigh(35, { pirani: 3 }),
        ]),
      ),
    ).toEqual([]);
  });

  it('is shown beside the published path of 10 to 15 degrees a cast', () => {
    const { child, events } = input({
      feet: ['left'],
      events: weekly([thigh(-10), thigh(5), thigh(20)]),
      asOf: '2026-02-01',
    });
    const foot = tellHistory(child, events).feet[0];
    if (foot === undefined) throw new Error('no foot');
    expect(trajectory(protocolNamed('standard'), foot).map((point) => point.expectedAbduction)).toEqual([
      [-10, -10],
      [0, 5],
      [10, 20],
    ]);
  });

  it('without progress over two casts is shown, by score or by degrees', () => {
    expect(codes(weekly([{ pirani: 5 }, { pirani: 5 }, { pirani: 5 }]))).toEqual(['no-progress']);
    expect(codes(weekly([{ pirani: 5 }, { pirani: 5 }, { pirani: 4.5 }]))).toEqual([]);
    expect(codes(weekly([thigh(10), thigh(12), thigh(13)]))).toEqual(['no-progress']);
    expect(codes(weekly([thigh(10), thigh(12), thigh(15)]))).toEqual([]);
  });

  it('whose hindfoot alone stays is as it should be: the hindfoot barely moves until the tenotomy', () => {
    // Lampasi M et al. J Orthop Surg 2017;25(2):1-8.
    expect(codes(weekly([{ pirani: 3 }, { pirani: 3 }, { pirani: 3 }]))).toEqual([]);
    expect(
      codes(
        weekly([{ pirani: signs(1, 0.5, 0.5) }, { pirani: signs(1, 0, 0.5) }, { pirani: signs(1, 0, 0.5) }]),
      ),
    ).toEqual([]);
    expect(
      codes(
        weekly([
          { pirani: signs(1, 0.5, 0.5) },
          { pirani: signs(1, 0.5, 0.5) },
          { pirani: signs(1, 0.5, 0.5) },
        ]),
      ),
    ).toEqual(['no-progress']);
  });

  it('abducted while its cavus stays is shown the same day', () => {
    const events = weekly([thigh(0, { isCavusCorrected: false }), thigh(15, { isCavusCorrected: false })]);
    expect(alertsOf(events, '2026-01-12').map(({ code, urgency }) => [code, urgency])).toEqual([
      ['cavus-not-corrected', 'today'],
    ]);
    expect(
      codes(weekly([thigh(0, { isCavusCorrected: false }), thigh(15, { isCavusCorrected: true })])),
    ).toEqual([]);
  });

  it('a slipped cast is for now, a second one for a senior', () => {
    const once: CourseEvent[] = [...weekly([{}]), { type: 'slipped', date: '2026-01-08' }];
    expect(alertsOf(once, '2026-01-08').map(({ code, urgency }) => [code, urgency])).toEqual([
      ['cast-slipped', 'now'],
    ]);
    const twice = weekly([{}, { hasSlipped: true }, { hasSlipped: true }]);
    expect(codes(twice)).toEqual(['cast-slipped-again']);
  });

  it('with more casts than usual is shown, from the ninth on to a senior', () => {
    expect(codes(weekly(Array(7).fill({})))).toEqual([]);
    expect(codes(weekly(Array(8).fill({})))).toEqual(['more-casts-than-usual']);
    expect(codes(weekly(Array(9).fill({})))).toEqual(['casts-ask-senior']);
  });

  it('with features of a complex foot is shown', () => {
    expect(codes(weekly([{}, { hasComplexFeatures: true }]))).toEqual(['complex-foot']);
  });

  it('ready for a tenotomy by angle or by score is shown, and after two weeks as overdue', () => {
    const byAngle = weekly([thigh(40), thigh(55), thigh(65, { dorsiflexion: 5 })]);
    expect(alertsOf(byAngle, '2026-01-19')[0]?.reason).toContain('by angle: yes, by score: not noted');
    const both = weekly([thigh(40), thigh(55), thigh(65, { dorsiflexion: 20, pirani: signs(1, 0, 0) })]);
    expect(alertsOf(both, '2026-01-19')[0]?.reason).toContain(
      'by angle: no, by score: yes); the two rules disagree',
    );
    expect(codes(byAngle, '2026-02-01')).toContain('ready-for-tenotomy');
    expect(codes(byAngle, '2026-02-02')).toContain('tenotomy-overdue');
    expect(codes(weekly([thigh(40), thigh(55), thigh(65, { dorsiflexion: 20 })]))).toEqual([]);
  });

  it('an abduction that does not say its angle is told and not judged', () => {
    // Int Orthop 2023, doi 10.1007/s00264-023-05703-2: thigh-foot 56 and leg-foot 42.6 are the same feet.
    expect(codes(weekly([{ abduction: 10 }, { abduction: 11 }, { abduction: 12 }]))).toEqual([
      'abduction-angle-missing',
    ]);
    const at = (found: FootFindings) =>
      reachesAim(protocolNamed('standard'), { ...found, day: 0, series: 1, stage: 'cast', cast: 1 });
    expect(at({ abduction: 50, abductionAngle: 'leg-foot' })).toBe(true);
    expect(at({ abduction: 50, abductionAngle: 'thigh-foot' })).toBe(false);
    expect(at({ abduction: 50 })).toBeNull();
    expect(at({ abduction: 62 })).toBe(true);
    expect((56 - 42.6).toFixed(1)).toBe('13.4');
    expect((68 - 50).toFixed(1)).toBe('18.0');
  });
});

describe('a foot in the brace years', () => {
  const seen = (date: string, left: FootFindings): CourseEvent => ({
    type: 'visit',
    date,
    kind: 'brace-check',
    feet: { left },
  });

  it('losing dorsiflexion is shown as a possible relapse, the decision left to the clinician', () => {
    const first = seen('2026-03-23', { dorsiflexion: 20 });
    expect(codes([...TO_BRACE, first, seen('2026-06-09', { dorsiflexion: 15 })])).toEqual([]);
    expect(codes([...TO_BRACE, first, seen('2026-06-09', { dorsiflexion: 10 })])).toEqual([
      'relapse-suspected',
    ]);
    const [alert] = alertsOf([...TO_BRACE, first, seen('2026-06-09', { dorsiflexion: 5 })], '2026-06-09');
    expect(alert?.reason).toContain('below 10');
    expect(alert?.reason).toContain('to be judged by the clinician');
  });

  it('a rise of one point by another scorer is noise, by the same scorer it is not', () => {
    // Scorers are within 1 Pirani point of each other in 89 % (55 feet).
    const rise = (before: FootFindings, now: FootFindings) =>
      codes([...TO_BRACE, seen('2026-03-23', before), seen('2026-06-09', now)]);
    expect(rise({ pirani: 1 }, { pirani: 2 })).toEqual([]);
    expect(rise({ pirani: 1 }, { pirani: 2.5 })).toEqual(['relapse-suspected']);
    expect(rise({ pirani: 1, scorer: 'A' }, { pirani: 1.5, scorer: 'A' })).toEqual(['relapse-suspected']);
    expect(rise({ pirani: 1, scorer: 'A' }, { pirani: 1.5, scorer: 'B' })).toEqual([]);
  });

  it('a recorded relapse stands until the foot is recast', () => {
    const relapse: CourseEvent = { type: 'relapse', date: '2026-08-01', feet: ['left'] };
    expect(codes([...TO_BRACE, relapse], '2026-08-02')).toContain('relapse-recorded');
    expect(
      codes([...TO_BRACE, relapse, { type: 'cast', date: '2026-08-03', number: 8 }], '2026-08-03'),
    ).toEqual([]);
  });

  it('a brace nobody looked at over two half-size steps of growth may be outgrown', () => {
    // Gould N et al. Foot Ankle 1990;10(4):211: half a size in under two months below 15 months of age.
    const outgrown = (events: readonly CourseEvent[], asOf: string) =>
      codes(events, asOf).includes('brace-maybe-outgrown');
    expect(outgrown(TO_BRACE, '2026-07-08')).toBe(false);
    expect(outgrown(TO_BRACE, '2026-07-09')).toBe(true);
    expect(outgrown([...TO_BRACE, { type: 'brace', date: '2026-06-01' }], '2026-07-09')).toBe(false);
  });
});
