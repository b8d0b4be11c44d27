import type { CompiledLanguages } from '../core/reading/compile.js';
import { readText } from '../core/reading/read.js';
import { addToScore, emptyScore, type LabelledText, type Miss, type Score } from '../core/reading/score.js';

const share = (part: number, whole: number): string =>
  whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)}`;

/** Reads every labelled text and counts, per language and over all. */
export function scoreTexts(
  compiled: CompiledLanguages,
  rows: readonly LabelledText[],
): { byLanguage: Map<string, Score>; misses: Miss[] } {
  const byLanguage = new Map<string, Score>();
  const all = emptyScore();
  const misses: Miss[] = [];
  for (const row of rows) {
    const score = byLanguage.get(row.lang) ?? emptyScore();
    byLanguage.set(row.lang, score);
    const reading = readText(compiled, {
      text: row.text,
      lang: row.lang,
      phase: row.phase,
      asked: row.asked,
    });
    const miss = addToScore(score, row, reading);
    addToScore(all, row, reading);
    if (miss) misses.push(miss);
  }
  byLanguage.set('all', all);
  return { byLanguage, misses };
}

/** The score table as text (Markdown), a line per language. */
export function scoreTable(byLanguage: ReadonlyMap<string, Score>): string {
  const lines = [
    '| language | texts | now caught | today caught | under-triage % | above highest % | fine raised % | signs exact % | denied exact % | hours right % (of those said) | intents right % | all right % |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |',
  ];
  for (const [language, score] of byLanguage)
    lines.push(
      `| ${language} | ${score.texts} | ${score.nowCaught}/${score.nowLabelled} | ${score.todayCaught}/${score.todayLabelled} | ${share(score.under, score.texts)} | ${share(score.over, score.texts)} | ${share(score.fineRaised, score.fineLabelled)} | ${share(score.signsExact, score.texts)} | ${share(score.deniedExact, score.texts)} | ${share(score.hoursRight, score.texts)} (${share(score.hoursLabelledRight, score.hoursLabelled)}) | ${share(score.intentRight, score.texts)} | ${share(score.allRight, score.texts)} |`,
    );
  return `${lines.join('\n')}\n`;
}

/** Precision and recall of every sign that was labelled or read. */
export function signTable(score: Score): string {
  const lines = ['| sign | labelled | precision % | recall % |', '| --- | --- | --- | --- |'];
  for (const [sign, { right, missed, wrong }] of score.bySign)
    if (right + missed + wrong > 0)
      lines.push(
        `| ${sign} | ${right + missed} | ${share(right, right + wrong)} | ${share(right, right + missed)} |`,
      );
  return `${lines.join('\n')}\n`;
}

/** One block a miss: what was wrong, the text, what was read, and the words nothing was made of. */
export function missList(misses: readonly Miss[]): string {
  return misses
    .map(({ row, reading, faults }) => {
      const unread = reading.unread.map(({ start, end }) => row.text.slice(start, end)).join(' | ');
      return `${row.id} [${row.phase}, ${row.asked}] ${row.text}\n    ${faults.join('; ')}\n    read: ${reading.signs.join(' ') || '-'} / ${reading.intent ?? '-'} / ${JSON.stringify(reading.hours)} / ${reading.urgency} / ${reading.understood} (${reading.language}); unread: ${unread}\n`;
    })
    .join('');
}
