import type { YesNoAndNumbers } from '../conversation/answer-words.js';
import type { CompiledLanguages } from './compile.js';
import { foldWhole } from './digest.js';
import type { LanguagePack } from './lexicon.js';
import { type Item, type Matched, match } from './match.js';
import { fold } from './normalise.js';
import { numeralsOf } from './numbers.js';
import { has } from './structure.js';
import { tokenise } from './tokens.js';

/** Answers to yes-or-no and to numbered questions, read with the languages' own words. */
export function answersOf(compiled: CompiledLanguages): YesNoAndNumbers {
  return {
    yesNo: (text, language) => readYesNo(compiled, text, language),
    choice: (text, language) => readChoice(compiled, text, language),
  };
}

/** Courtesy after a yes or no that changes nothing ("yes doctor", "no thanks"). */
const COURTESY = ['thanks', 'greeting', 'child'];
const LONGEST_ANSWER = 60;

/**
 * `yes` or `no` when the whole message is one (or one with courtesy around it), else null. The family's language
 * decides first: "n" is yes in Swahili and no in English; then English, then the others where they agree.
 */
export function readYesNo(compiled: CompiledLanguages, text: string, language: string): 'yes' | 'no' | null {
  if (text.length > LONGEST_ANSWER) return null;
  const whole = foldWhole(text);
  if (whole === '') return null;
  const ordered = inOrder(compiled, language);
  for (const pack of ordered.first) {
    const answer = answerIn(pack, whole) ?? answerIn(pack, withoutCourtesy(compiled, whole, language));
    if (answer !== null) return answer;
  }
  const others = new Set(
    ordered.rest.flatMap((pack) => (whole.length > 1 ? (answerIn(pack, whole) ?? []) : [])),
  );
  const [only] = others;
  return others.size === 1 && only !== undefined ? only : null;
}

function inOrder(
  compiled: CompiledLanguages,
  language: string,
): { first: LanguagePack[]; rest: LanguagePack[] } {
  const own = compiled.packs.filter((pack) => pack.code === language);
  const english = compiled.packs.filter((pack) => pack.code === 'en' && pack.code !== language);
  const first = [...own, ...english];
  return { first, rest: compiled.packs.filter((pack) => !first.includes(pack)) };
}

function answerIn(pack: LanguagePack, whole: string): 'yes' | 'no' | null {
  if (pack.yes.has(whole)) return 'yes';
  return pack.no.has(whole) ? 'no' : null;
}

/** "yes thank you doctor" -> "yes": the first word, when all that follows is courtesy. */
function withoutCourtesy(compiled: CompiledLanguages, whole: string, language: string): string {
  const space = whole.indexOf(' ');
  if (space < 0) return '';
  const rest = matchText(compiled, whole.slice(space + 1), language);
  const isCourtesy = rest.items.every((item) => COURTESY.some((name) => has(item, name)));
  return isCourtesy && rest.unread.length === 0 ? whole.slice(0, space) : '';
}

function matchText(compiled: CompiledLanguages, text: string, language: string): Matched {
  return match(
    compiled,
    tokenise(fold(text), (word) => compiled.known.has(word)),
    language,
  );
}

/**
 * The number when the text is nothing but one whole number from 0 to 99, in digits of any script or in words of the
 * family's language (or English); marks around it do not matter. Else null.
 */
export function readChoice(compiled: CompiledLanguages, text: string, language: string): number | null {
  if (text.length > LONGEST_ANSWER) return null;
  const matched = matchText(compiled, text, language);
  const [numeral, ...more] = numeralsOf(matched);
  if (!numeral || more.length > 0 || !Number.isInteger(numeral.value) || numeral.value > 99) return null;
  if (numeral.shape !== 'plain' && numeral.shape !== 'none') return null;
  const isMark = (item: Item) => item.kind === 'comma' || item.kind === 'stop' || item.kind === 'question';
  const isAlone = matched.items.every((item, at) => (at >= numeral.from && at < numeral.to) || isMark(item));
  const joined = (numeral.items.at(-1)?.cellTo ?? 0) - (numeral.items[0]?.cellFrom ?? 0);
  const marks = matched.items.filter(isMark).length;
  return isAlone && joined + marks === matched.words.length ? numeral.value : null;
}
