import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planCourse } from '../../../src/core/course/course.js';
import { handOver } from '../../../src/core/course/hand-over.js';
import { readCourseInput } from '../../../src/core/course/read-input.js';
import type { CourseEvent } from '../../../src/core/model/course-events.js';
import { segments } from '../../../src/core/texts/segments.js';
import { anyRecord } from './any-history.js';
import { input, PROTOCOLS, protocolNamed, TO_BRACE } from './example-children.js';

const WHO = { calledInTexts: 'Asha', callNumber: '+15550100', emergencyNumber: '112' };
function of(events: readonly CourseEvent[], asOf: string, feet: ('left' | 'right')[] = ['left', 'right']) {
  const checked = input({ events, asOf, feet });
  const protocol = protocolNamed('standard');
  return handOver(planCourse(checked, protocol), checked, protocol, WHO);
}

describe('a hand-over to a local doctor', () => {
  const lastCast = TO_BRACE.slice(0, 8);

  it('in the last cast says the exact day it comes off, the brace on that day and whom to call', () => {
    const { text, castOff, brace } = of(lastCast, '2026-02-17');
    expect(castOff).toEqual({ on: '2026-03-09', latest: '2026-03-16', isLastCast: true });
    expect(brace?.from).toBe('2026-03-09');
    expect(text).toBe(
      'Asha: Both feet 7 casts, tendon cut 2026-02-16. Cast must come off 2026-03-09, never later than 2026-03-16. Brace goes on the same day. Wear 23 h a day to 2026-06-09, then 12-14 h. Toes dark, cold, swollen or out of sight: call at once, the cast may have to come off. Call +15550100.',
    );
    expect(segments(text)).toMatchObject({ encoding: 'gsm-7' });
  });

  it('tells the position in which the foot is held with the angle it was measured by', () => {
    const events: CourseEvent[] = lastCast.map((event) =>
      event.type === 'cast' && event.number === 7
        ? { ...event, feet: { left: { abduction: 68, abductionAngle: 'thigh-foot', dorsiflexion: 20 } } }
        : event,
    );
    const { feet } = of(events, '2026-02-17', ['left']);
    expect(feet[0]?.held).toEqual({
      abduction: 68,
      abductionAngle: 'thigh-foot',
      dorsiflexion: 20,
      on: '2026-02-16',
    });
  });

  it('sets the brace of a one-sided child 60 to 70 degrees on the treated foot and 30 to 40 on the other', () => {
    // Ponseti.info, bracing tips; Royal Children's Hospital Melbourne, boots and bar.
    const settings = of(lastCast, '2026-02-17', ['right']).brace?.settings;
    expect(settings?.map(({ foot, from, to }) => [foot, from, to])).toEqual([
      ['left', 30, 40],
      ['right', 60, 70],
    ]);
  });

  it('fits into two parts for any history, names no diagnosis and always says whom to call', () => {
    fc.assert(
      fc.property(anyRecord, fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }), (record, name) => {
        const read = readCourseInput(record, PROTOCOLS);
        if (!read.isValid) throw new Error('not valid');
        const protocol = protocolNamed(record.protocol);
        const { text, castOff } = handOver(planCourse(read.input, protocol), read.input, protocol, {
          ...WHO,
          calledInTexts: name,
        });
        expect(segments(text).parts.length).toBeLessThanOrEqual(2);
        expect(text).toContain('Call +15550100.');
        if (castOff !== null) expect(text).toContain(castOff.on);
        expect(text.slice(name.length)).not.toMatch(/club|talipes|ponseti/i);
      }),
      { numRuns: 300 },
    );
  });
});
