import type { ChildFacts } from '../model/family.js';
import type { Reading } from '../model/reading.js';
import type { Sign } from '../model/signs.js';

/** Each sign as a nurse would say it. English: staff pages are in English so far. */
export const SIGN_WORDS: Readonly<Record<Sign, string>> = {
  'toes-discoloured': 'toes have changed colour',
  'toes-cold': 'toes are cold',
  'toes-swollen': 'toes are swollen',
  'toes-hidden': 'toes cannot be seen',
  'toes-not-moving': 'toes do not move',
  'cast-slipping': 'cast is slipping',
  'cast-tight': 'cast is tight',
  'cast-wet': 'cast is wet or soft',
  'cast-broken': 'cast is cracked or broken',
  'cast-off': 'cast has come off',
  smell: 'bad smell',
  discharge: 'discharge',
  bleeding: 'bleeding',
  'skin-red': 'red skin',
  'skin-sore': 'sore or blister',
  fever: 'fever',
  pain: 'pain or crying',
  unwell: 'child is unwell',
  died: 'the child has died',
  'brace-not-worn': 'brace was not worn',
  'brace-refused': 'child fights the brace',
  'foot-slips-out': 'foot slips out of the boot',
  'brace-broken': 'brace is broken',
  'brace-small': 'brace is too small',
  'brace-lost': 'brace is lost',
  'relapse-sign': 'foot may be turning back',
};

export interface NurseWords {
  readonly signs: readonly Sign[];
  readonly child: Pick<ChildFacts, 'castDay' | 'tenotomyDay' | 'dayInPhase' | 'wearTargetHours'> | null;
  readonly reading: Pick<Reading, 'hours'>;
  readonly temperature: number | null;
}

/** Fills `{signs}`, `{hours}`, `{target}`, `{temperature}`, `{cast-day}`, `{tenotomy-day}`, `{day}` of a rule's sentence. */
export function fillForNurse(sentence: string, words: NurseWords): string {
  const values: Readonly<Record<string, string>> = {
    signs: words.signs.map((sign) => SIGN_WORDS[sign]).join(', ') || 'no sign named',
    hours: hoursInWords(words.reading.hours),
    target: known(words.child?.wearTargetHours),
    temperature: words.temperature === null ? 'not measured' : `${words.temperature} °C`,
    'cast-day': known(words.child?.castDay),
    'tenotomy-day': known(words.child?.tenotomyDay),
    day: known(words.child?.dayInPhase),
  };
  const filled = sentence.replace(/\{([a-z-]+)\}/g, (whole, name: string) => values[name] ?? whole);
  return filled.charAt(0).toUpperCase() + filled.slice(1);
}

function hoursInWords(hours: Reading['hours']): string {
  if (hours === null) return 'hours not said';
  return typeof hours === 'number' ? `${hours} h` : `${hours[0]}-${hours[1]} h`;
}

function known(value: number | null | undefined): string {
  return value === null || value === undefined ? 'unknown' : String(value);
}
