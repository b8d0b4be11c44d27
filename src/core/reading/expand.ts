/** One place in a phrase: a word, up to three words left open, or a choice of words (an empty one: may be left out). */
export type Step =
  | { readonly kind: 'word'; readonly word: string }
  | { readonly kind: 'gap' }
  | { readonly kind: 'choice'; readonly options: readonly (readonly string[])[] };

/** Choices that are part of a word are spelled out; more spellings than this are a slip of the writer. */
export const MOST_SPELLINGS = 200;

type Part = string | readonly string[];

class Fault extends Error {}

/**
 * Reads a vocabulary phrase: `(x)` may be left out, `(a|b)` is a choice, both also inside a word; `...` leaves up to
 * three words open. `wordsOf` folds and cuts plain text into words. Returns the ways to write the phrase, each a list
 * of steps, or a sentence saying what is wrong with it.
 */
export function stepsOf(
  phrase: string,
  wordsOf: (text: string) => string[],
): readonly (readonly Step[])[] | { readonly fault: string } {
  try {
    const ways = unglued(partsOf(phrase)).map((parts) => parts.flatMap((part) => stepsOfPart(part, wordsOf)));
    const filled = ways.filter((steps) =>
      steps.some((step) => step.kind === 'word' || step.kind === 'choice'),
    );
    if (filled.length === 0) return { fault: 'nothing in it' };
    if (filled.some((steps) => steps[0]?.kind === 'gap')) return { fault: 'three dots at its start' };
    return filled;
  } catch (error) {
    if (error instanceof Fault) return { fault: error.message };
    throw error;
  }
}

/** Spells out a short pattern (an affix) completely. */
export function spellOut(pattern: string): readonly string[] | { readonly fault: string } {
  try {
    return spell(partsOf(pattern));
  } catch (error) {
    if (error instanceof Fault) return { fault: error.message };
    throw error;
  }
}

/** The phrase as plain text and choices; choices inside choices are spelled out. */
function partsOf(phrase: string): Part[] {
  const parts: Part[] = [];
  let at = 0;
  const readChoice = (): string[] => {
    const options: string[] = [];
    let current = [''];
    let isChoice = false;
    for (; at < phrase.length; at += 1) {
      const unit = phrase[at] ?? '';
      if (unit === '(') {
        at += 1;
        const inner = readChoice();
        current = inner.flatMap((option) => current.map((before) => before + option));
        if (current.length > MOST_SPELLINGS) throw new Fault(`more than ${MOST_SPELLINGS} spellings`);
      } else if (unit === '|') {
        options.push(...current);
        current = [''];
        isChoice = true;
      } else if (unit === ')') return isChoice ? [...options, ...current] : [...current, ''];
      else current = current.map((before) => before + unit);
    }
    throw new Fault('a bracket that is never closed');
  };
  let plain = '';
  for (; at < phrase.length; at += 1) {
    const unit = phrase[at] ?? '';
    if (unit === ')' || unit === '|') throw new Fault(`a ${unit} outside brackets`);
    if (unit !== '(') {
      plain += unit;
      continue;
    }
    if (plain !== '') parts.push(plain);
    plain = '';
    at += 1;
    parts.push([...new Set(readChoice())]);
  }
  if (plain !== '') parts.push(plain);
  return parts;
}

/** Spells out the choices that are glued to letters, so that the others stand between whole words. */
function unglued(parts: readonly Part[]): Part[][] {
  let ways: Part[][] = [[]];
  for (const [index, part] of parts.entries()) {
    if (typeof part === 'string' || standsAlone(parts, index, part)) {
      for (const way of ways) way.push(part);
      continue;
    }
    ways = ways.flatMap((way) => part.map((option) => [...way, option]));
    if (ways.length > MOST_SPELLINGS) throw new Fault(`more than ${MOST_SPELLINGS} spellings`);
  }
  return ways.map(joinText);
}

function standsAlone(parts: readonly Part[], index: number, options: readonly string[]): boolean {
  const before = parts[index - 1];
  const after = parts[index + 1];
  const filled = options.filter((option) => option !== '');
  const isOpenBefore =
    before === undefined ||
    (typeof before === 'string'
      ? before.endsWith(' ')
      : before.every((option) => option === '' || option.endsWith(' '))) ||
    filled.every((option) => option.startsWith(' '));
  const isOpenAfter =
    after === undefined ||
    (typeof after === 'string'
      ? after.startsWith(' ')
      : after.every((option) => option === '' || option.startsWith(' '))) ||
    filled.every((option) => option.endsWith(' '));
  return isOpenBefore && isOpenAfter;
}

/** Neighbouring pieces of text become one, so that a word cut by a choice is whole again. */
function joinText(parts: readonly Part[]): Part[] {
  const joined: Part[] = [];
  for (const part of parts) {
    const before = joined.at(-1);
    if (typeof part === 'string' && typeof before === 'string') joined[joined.length - 1] = before + part;
    else joined.push(part);
  }
  return joined;
}

function spell(parts: readonly Part[]): string[] {
  let spellings = [''];
  for (const part of parts) {
    const options = typeof part === 'string' ? [part] : part;
    spellings = spellings.flatMap((before) => options.map((option) => before + option));
    if (spellings.length > MOST_SPELLINGS) throw new Fault(`more than ${MOST_SPELLINGS} spellings`);
  }
  return [...new Set(spellings)];
}

function stepsOfPart(part: Part, wordsOf: (text: string) => string[]): Step[] {
  if (typeof part !== 'string') {
    const options = part.map(wordsOf);
    return [{ kind: 'choice', options }];
  }
  const steps: Step[] = [];
  for (const [index, piece] of part.split('...').entries()) {
    if (index > 0) steps.push({ kind: 'gap' });
    for (const word of wordsOf(piece)) steps.push({ kind: 'word', word });
  }
  return steps;
}
