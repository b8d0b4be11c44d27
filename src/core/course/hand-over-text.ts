import { segments } from '../texts/segments.js';
import type { HandOver } from './hand-over-facts.js';

/** Parts a hand-over may take: what a local health worker can keep on any phone. */
export const HAND_OVER_PARTS = 2;

/**
 * The hand-over as a text: what was done, the day the cast comes off, the brace on the same day, danger signs, whom to
 * call. Sentences are left out from the least to the most important until it fits into two parts; the day, the danger
 * signs and the number always stay. Dates in full, since 3/4 is two different days. Pure.
 */
export function handOverText(facts: Omit<HandOver, 'text'>): string {
  const sentences = [
    { text: done(facts), rank: 3 },
    { text: held(facts), rank: 4 },
    { text: castOff(facts), rank: 0 },
    { text: brace(facts), rank: 1 },
    { text: wear(facts), rank: 2 },
    { text: danger(facts), rank: 0 },
    { text: `Call ${facts.callNumber}.`, rank: 0 },
  ].filter((sentence) => sentence.text !== '');
  for (let rank = 5; rank >= 0; rank--) {
    const body = sentences
      .filter((sentence) => sentence.rank < rank || sentence.rank === 0)
      .map((sentence) => sentence.text)
      .join(' ');
    const text = `${facts.calledInTexts}: ${body}`;
    if (segments(text).parts.length <= HAND_OVER_PARTS) return text;
  }
  const bare = sentences.filter((sentence) => sentence.rank === 0).map((sentence) => sentence.text);
  return `Child: ${bare.join(' ')}`;
}

function done({ feet }: Omit<HandOver, 'text'>): string {
  const parts = feet
    .filter((foot) => foot.casts > 0)
    .map((foot) => {
      const cut = foot.tenotomy === null ? '' : `, tendon cut ${foot.tenotomy}`;
      return `${foot.foot} ${foot.casts} casts${cut}`;
    });
  const [first, second] = feet;
  if (
    first &&
    second &&
    first.casts === second.casts &&
    first.tenotomy === second.tenotomy &&
    first.casts > 0
  )
    return `Both feet ${first.casts} casts${first.tenotomy === null ? '' : `, tendon cut ${first.tenotomy}`}.`;
  return parts.length === 0 ? '' : `${parts.join('; ')}.`;
}

function held({ feet }: Omit<HandOver, 'text'>): string {
  const parts = feet.flatMap(({ foot, held: angles }) =>
    angles?.abduction == null
      ? []
      : [`${foot} ${angles.abduction} deg out (${angles.abductionAngle ?? 'angle not said'})`],
  );
  return parts.length === 0 ? '' : `Held: ${parts.join(', ')}.`;
}

function castOff({ castOff: off }: Omit<HandOver, 'text'>): string {
  if (off === null) return '';
  return off.isLastCast
    ? `Cast must come off ${off.on}, never later than ${off.latest}.`
    : `New cast due ${off.on}, never later than ${off.latest}.`;
}

function brace({ brace: plan, castOff: off, phase }: Omit<HandOver, 'text'>): string {
  if (plan === null) return '';
  if (phase === 'tenotomy' || off?.isLastCast === true) return 'Brace goes on the same day.';
  return `In brace since ${plan.from}.`;
}

function wear({ brace: plan }: Omit<HandOver, 'text'>): string {
  const [now, next] = plan?.steps ?? [];
  if (now === undefined) return '';
  const hours = (step: { hoursFrom: number; hoursTo: number }) =>
    step.hoursFrom === step.hoursTo ? `${step.hoursFrom}` : `${step.hoursFrom}-${step.hoursTo}`;
  if (next === undefined || now.to === null) return `Wear ${hours(now)} h a day.`;
  return `Wear ${hours(now)} h a day to ${now.to}, then ${hours(next)} h.`;
}

function danger({ castOff: off }: Omit<HandOver, 'text'>): string {
  return off === null
    ? 'Sores, brace refused or too small: call.'
    : 'Toes dark, cold, swollen or out of sight: call at once, the cast may have to come off.';
}
