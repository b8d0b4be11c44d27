import { describe, expect, it } from 'vitest';
import { BrokenRecord, coursePlanner } from '../../src/app/course-planner.js';
import type { ChildId } from '../../src/core/model/ids.js';
import { loadProtocols } from '../../src/flows/protocols.js';
import type { ChildRecord } from '../../src/store/course-record.js';
import { casts, EVERY_DAY, FLOWS } from '../core/course/example-children.js';

const plan = coursePlanner(loadProtocols(FLOWS).protocols);
const stored = (events: ChildRecord['events']): ChildRecord => ({
  child: { id: 'child-1' as ChildId, born: '2025-12-20', feet: ['left'], weeksEarly: 0 },
  clinic: {
    timeZone: 'Asia/Kolkata',
    clinicDays: EVERY_DAY,
    holidays: [],
    sendingFrom: '08:00',
    sendingTo: '20:00',
  },
  protocol: 'standard',
  events,
  chosenHour: '12:00',
});
const HOURS_48 = 48 * 3_600_000;

describe('the planner for the record', () => {
  it('gives the texts due before the horizon, at the family’s hour, on the clinic’s own date', () => {
    // 20:30 UTC on 4 January is already 5 January in India.
    const now = Date.parse('2026-01-04T20:30:00Z');
    const { phase, texts } = plan(
      stored(casts(['2026-01-05']) as ChildRecord['events']),
      now,
      now + 4 * HOURS_48,
    );
    expect(phase).toBe('cast');
    expect(texts.map((text) => [text.kind, new Date(text.dueAt).toISOString()])).toEqual([
      ['cast-day', '2026-01-05T12:30:00.000Z'],
      ['cast-mid', '2026-01-08T06:30:00.000Z'],
      ['visit-in-3-days', '2026-01-09T06:30:00.000Z'],
      ['visit-tomorrow', '2026-01-11T06:30:00.000Z'],
    ]);
  });

  it('still gives yesterday’s text while it has not gone stale', () => {
    const at = (iso: string) =>
      plan(stored(casts(['2026-01-05']) as ChildRecord['events']), Date.parse(iso), Date.parse('2026-01-10'));
    expect(at('2026-01-09T01:00:00Z').texts.map((text) => text.kind)).toEqual([
      'cast-mid',
      'visit-in-3-days',
    ]);
    expect(at('2026-01-09T18:00:00Z').texts.map((text) => text.kind)).toEqual(['visit-in-3-days']);
  });

  it('leaves out what is stale by now', () => {
    const now = Date.parse('2026-01-05T15:00:00Z');
    const { texts } = plan(stored(casts(['2026-01-05']) as ChildRecord['events']), now, now + HOURS_48);
    expect(texts).toEqual([]);
  });

  it('names every fault of a stored record that contradicts itself', () => {
    const broken = stored([{ type: 'brace', date: '2026-01-05' }]);
    expect(() => plan(broken, Date.parse('2026-02-01'), 0)).toThrow(BrokenRecord);
    expect(() => plan(broken, Date.parse('2026-02-01'), 0)).toThrow('events[0]');
  });
});
