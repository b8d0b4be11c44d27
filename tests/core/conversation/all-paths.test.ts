import { describe, expect, it } from 'vitest';
import type { Definition } from '../../../src/core/conversation/definition.js';
import type { TalkEvent } from '../../../src/core/conversation/machine.js';
import { allPaths, type Path } from '../../../src/core/conversation/paths.js';
import type { ChildFacts } from '../../../src/core/model/family.js';
import { CHECK_INS, type CheckIn } from '../../../src/core/model/texts.js';
import { segments } from '../../../src/core/texts/segments.js';
import { fillWording } from '../../../src/core/texts/wording.js';
import { child, HOUR, messages } from './family.js';
import { Play } from './play.js';
import { languages, read, talking } from './real-reader.js';

const NONSENSE = 'xqv wplk zzrt';

/** A child in the phase a check-in belongs to. */
function childFor(checkIn: CheckIn): ChildFacts {
  if (checkIn.startsWith('tenotomy')) return child({ phase: 'tenotomy', tenotomyDay: 2, castDay: 2 });
  if (checkIn.startsWith('cast-off'))
    return child({ phase: 'brace-day', castDay: null, wearTargetHours: 23 });
  if (checkIn.startsWith('cast')) return child({ phase: 'cast', castDay: checkIn === 'cast-day' ? 0 : 3 });
  return child({ phase: 'brace-night', castDay: null, wearTargetHours: 12 });
}

/** What a family sends for an answer: its digit, or hours; null: it can only be said in words (other tests). */
function sent(definition: Definition, question: string, name: string): string | null {
  const answer = definition.questions[question]?.answers[name];
  if (!answer) throw new Error(`${definition.name} ${question} has no ${name}`);
  if (answer.digit !== null) return String(answer.digit);
  return answer.hours === null ? null : '13';
}

/** Paths that can be sent: the last place of each is the end the machine says. */
function sendable(definition: Definition): Path[] {
  return allPaths(definition).filter(({ begin, steps }) => {
    let question = begin;
    return steps.every(({ event, place }) => {
      const can =
        !event.type.startsWith('answer:') || sent(definition, question, event.type.slice(7)) !== null;
      question = place.name;
      return can;
    });
  });
}

function walk(play: Play, definition: Definition, path: Path, language: string): TalkEvent | undefined {
  let question = path.begin;
  let last: TalkEvent | undefined;
  for (const { event, place } of path.steps) {
    if (play.conversation?.checkIn !== definition.name || play.conversation.state !== 'asking') return last;
    last = event;
    if (event.type === 'silence') play.wait();
    else {
      const isAnswer = event.type.startsWith('answer:');
      const text = isAnswer ? (sent(definition, question, event.type.slice(7)) ?? '') : NONSENSE;
      play.say(text, read(text, language, play.children[0]?.phase ?? null, play.conversation.asked));
    }
    question = place.name;
  }
  return last;
}

function wordsOf(play: Play, language: string): void {
  for (const { wording, values, templates } of play.texts) {
    const filled = fillWording(messages, wording, language, values, templates);
    expect(filled.language, `${wording} in ${language}`).toBe(language);
    expect(filled.body).not.toMatch(/[{}]/);
    expect(segments(filled.body).parts.length, filled.body).toBeLessThanOrEqual(2);
  }
}

/** The outcome a path must have for the family and the nurse. */
function outcome(play: Play, definition: Definition, path: Path, name: string): void {
  const end = path.steps.at(-1)?.place.name ?? '';
  const flags = play.urgencies();
  const top = (urgency: string) => flags.some((flag) => flag.endsWith(urgency));
  const sentLast = play.texts.at(-1)?.wording;
  if (top(' now')) {
    expect(
      play.texts.some(({ lane }) => lane === 'safety'),
      name,
    ).toBe(true);
    return;
  }
  if (end === 'silent')
    expect(
      flags.some((flag) => /^(silent|visit|bleeding|pain)/.test(flag)),
      name,
    ).toBe(true);
  else if (end === 'unclear')
    expect(
      flags.some((flag) => flag.startsWith('unread')),
      name,
    ).toBe(true);
  else if (definition.ends[end]?.outcome === 'person') expect(flags.length, name).toBeGreaterThan(0);
  else if (definition.ends[end]?.outcome === 'well') expect(sentLast, name).toBeDefined();
  const answers = path.steps.flatMap(({ event }) =>
    event.type.startsWith('answer:') ? [event.type.slice(7)] : [],
  );
  const allWell = /^(fine|calm|good|none|well|worn|told|fits|flat|not-yet|little|small)$/;
  const isAllWell = answers.every((one) => allWell.test(one)) && definition.ends[end]?.outcome === 'well';
  const hasTold = path.steps.some(({ event }) => event.type === 'unclear');
  if (isAllWell && !hasTold && !answers.includes('small')) expect(flags, name).toEqual([]);
}

describe.each(languages)('every path of every check-in, in %s', (language) => {
  it.each(CHECK_INS)('%s ends as it must', (checkIn) => {
    const definition = talking.current[checkIn];
    const paths = sendable(definition);
    expect(paths.length).toBeGreaterThan(5);
    for (const path of paths) {
      const play = new Play(talking, [childFor(checkIn)]);
      play.language = language;
      play.now -= 8.5 * HOUR;
      play.start(checkIn);
      walk(play, definition, path, language);
      const name = `${checkIn}: ${path.steps.map(({ event }) => event.type).join(' > ')}`;
      for (let turns = 0; play.conversation?.state === 'asking'; turns += 1) {
        expect(turns, name).toBeLessThan(3);
        play.wait();
      }
      wordsOf(play, language);
      outcome(play, definition, path, name);
    }
  });
});
