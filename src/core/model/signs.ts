/**
 * The closed lists of what a family's text can be read as. The order is the order used in tables and output.
 */
export const SIGNS = [
  'toes-discoloured',
  'toes-cold',
  'toes-swollen',
  'toes-hidden',
  'toes-not-moving',
  'cast-slipping',
  'cast-tight',
  'cast-wet',
  'cast-broken',
  'cast-off',
  'smell',
  'discharge',
  'bleeding',
  'skin-red',
  'skin-sore',
  'fever',
  'pain',
  'unwell',
  'died',
  'brace-not-worn',
  'brace-refused',
  'foot-slips-out',
  'brace-broken',
  'brace-small',
  'brace-lost',
  'relapse-sign',
] as const;
export type Sign = (typeof SIGNS)[number];

export const INTENTS = [
  'coming',
  'cannot-come',
  'call-me',
  'cost',
  'moved',
  'wrong-number',
  'stop',
  'question',
  'all-well',
  'thanks',
  'other-person-news',
] as const;
export type Intent = (typeof INTENTS)[number];

/** Urgencies from least to most. `none`: no person need read it; `now`: a person at once. */
export const URGENCIES = ['none', 'soon', 'today', 'now'] as const;
export type Urgency = (typeof URGENCIES)[number];

/** Treatment phases as the reader knows them; the course's own phases map onto these. */
export const READING_PHASES = ['cast', 'tenotomy', 'brace-day', 'brace-night'] as const;
export type ReadingPhase = (typeof READING_PHASES)[number];

/** What the family was last asked, in kind. `open`: nothing in particular. */
export const ASKED = ['toes', 'cast', 'skin', 'hours', 'visit', 'open'] as const;
export type Asked = (typeof ASKED)[number];

/** The more urgent of two. */
export function higherUrgency(a: Urgency, b: Urgency): Urgency {
  return URGENCIES.indexOf(a) >= URGENCIES.indexOf(b) ? a : b;
}
