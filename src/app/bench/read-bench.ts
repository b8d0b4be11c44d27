import { URGENCIES, type Urgency } from '../../core/model/signs.js';
import { readText } from '../../core/reading/read.js';
import type { LabelledText } from '../../core/reading/score.js';
import { loadLanguages } from '../../flows/reading-data.js';
import { FLOWS_FOLDER } from '../flows-folder.js';
import { ownTexts } from '../labelled-texts.js';

const LONGEST = 20_000;
const SECONDS_EACH = 2;

/**
 * Lines with texts read a second, start-up, memory and the longest time of a 20,000-character text; and, measured in the
 * same run, the same work by a general-purpose text classifier trained on the project's own tuning texts: its speed, and
 * how many urgent texts each of the two catches among the texts kept aside.
 */
export async function benchRead(): Promise<string[]> {
  const start = process.hrtime.bigint();
  const compiled = loadLanguages(FLOWS_FOLDER);
  const startUp = since(start);
  const kept = ownTexts('kept-aside');
  const read = (row: LabelledText) =>
    readText(compiled, { text: row.text, lang: row.lang, phase: row.phase, asked: row.asked }).urgency;
  for (const row of kept) read(row);
  // Before the reference and its training texts are loaded: the reader with every language in use.
  const memory = process.memoryUsage().rss / 1e6;
  const all = [...ownTexts('dev'), ...kept];
  const first = perSecond(all, read, 0);
  const steady = perSecond(all, read, SECONDS_EACH);
  const worst = worstCase((text) =>
    readText(compiled, { text, lang: 'en', phase: 'brace-night', asked: 'hours' }),
  );
  const predict = await reference();
  const theirs = perSecond(all, predict, SECONDS_EACH);
  return [
    `languages loaded: ${compiled.packs.length} (${compiled.packs.map((pack) => pack.code).join(' ')}), start-up ${startUp.toFixed(0)} ms, memory ${memory.toFixed(0)} MB`,
    `texts a second on one core: ${steady.toFixed(0)} (first pass over ${all.length} texts, cold: ${first.toFixed(0)})`,
    `longest of the ${LONGEST}-character texts: ${worst.ms.toFixed(1)} ms (${worst.name})`,
    `reference in the same run, wink-naive-bayes-text-classifier: ${theirs.toFixed(0)} texts a second; ratio ${(steady / theirs).toFixed(2)}`,
    'urgency of the texts kept aside, reader / reference:',
    ...compare(kept, read, predict),
  ];
}

const since = (start: bigint): number => Number(process.hrtime.bigint() - start) / 1e6;

function perSecond(
  rows: readonly LabelledText[],
  run: (row: LabelledText) => unknown,
  seconds: number,
): number {
  const start = process.hrtime.bigint();
  let done = 0;
  do {
    for (const row of rows) run(row);
    done += rows.length;
  } while (since(start) < seconds * 1000);
  return (1000 * done) / since(start);
}

const PIECES = [
  'not ',
  'was red. fine ',
  'toes blue, ',
  'what if blue? ',
  '8 to 6 ',
  '1 ',
  'my mother has fever ',
  'a',
  '\u0301',
  '🥶',
];

function worstCase(run: (text: string) => unknown): { ms: number; name: string } {
  let worst = { ms: 0, name: '' };
  for (const piece of PIECES) {
    const text = piece.repeat(Math.ceil(LONGEST / piece.length)).slice(0, LONGEST);
    run(text);
    const times = [0, 1, 2].map(() => {
      const start = process.hrtime.bigint();
      run(text);
      return since(start);
    });
    const ms = Math.min(...times);
    if (ms > worst.ms) worst = { ms, name: `${JSON.stringify(piece)} repeated` };
  }
  return worst;
}

const wordsOf = (text: string): string[] =>
  text
    .toLowerCase()
    .normalize('NFKC')
    .match(/[\p{L}\p{M}\p{N}]+/gu) ?? [];
const told = (row: LabelledText): string =>
  `phase_${row.phase.replace('-', '_')} asked_${row.asked} ${row.text}`;

/** The reference library trained on the tuning texts, to tell the lowest acceptable urgency. */
async function reference(): Promise<(row: LabelledText) => Urgency> {
  const { default: newClassifier } = await import('wink-naive-bayes-text-classifier');
  const classifier = newClassifier();
  classifier.definePrepTasks([wordsOf]);
  classifier.defineConfig({ considerOnlyPresence: true, smoothingFactor: 0.5 });
  for (const row of ownTexts('dev')) classifier.learn(told(row), row.urgency[0]);
  classifier.consolidate();
  return (row) => URGENCIES.find((urgency) => urgency === classifier.predict(told(row))) ?? 'soon';
}

function compare(rows: readonly LabelledText[], ...ways: ((row: LabelledText) => Urgency)[]): string[] {
  const rank = (urgency: Urgency) => URGENCIES.indexOf(urgency);
  const count = (
    of: (row: LabelledText) => boolean,
    holds: (row: LabelledText, read: Urgency) => boolean,
  ) => {
    const own = rows.filter(of);
    return `${ways.map((way) => own.filter((row) => holds(row, way(row))).length).join(' / ')} of ${own.length}`;
  };
  return [
    `  labelled now, read as now: ${count(
      (row) => row.urgency[0] === 'now',
      (_, read) => read === 'now',
    )}`,
    `  labelled today or now, read as today or now: ${count(
      (row) => rank(row.urgency[0]) >= 2,
      (_, read) => rank(read) >= 2,
    )}`,
    `  read below the lowest acceptable: ${count(
      () => true,
      (row, read) => rank(read) < rank(row.urgency[0]),
    )}`,
    `  read above the highest acceptable: ${count(
      () => true,
      (row, read) => rank(read) > rank(row.urgency[1]),
    )}`,
  ];
}
