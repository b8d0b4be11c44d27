import { existsSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { z } from 'zod';
import { ASKED, READING_PHASES } from '../core/model/signs.js';
import type { CompiledLanguages } from '../core/reading/compile.js';
import { readText } from '../core/reading/read.js';
import { FlowsError, loadLanguages } from '../flows/reading-data.js';
import type { CommandIo } from './command-io.js';
import { FLOWS_FOLDER } from './flows-folder.js';
import { labelledTexts } from './labelled-texts.js';
import { missList, scoreTable, scoreTexts, signTable } from './read-score.js';
import { writeTables } from './read-tables.js';

const USAGE = `toeline read: what a family's text says

  toeline read --jsonl                 one JSON object a line in: {"id","text","lang"?,"phase"?,"asked"?};
                                       one a line out, same order
  toeline read --text "..." [--lang en] [--phase cast] [--asked toes]
                                       read one text
  toeline read --score FILE.jsonl      compare with labelled texts; --misses lists what was read wrong,
                                       --lang CODE keeps to one language, --signs adds precision and recall
  toeline read --tables                score the project's own labelled texts and write the tables of
                                       src/core/reading/README.md anew
  --flows FOLDER                       use this folder of data instead of the project's own
`;

const line = z.object({
  id: z.union([z.string(), z.number()]),
  text: z.string(),
  lang: z.string().nullish(),
  phase: z.enum(READING_PHASES).nullish(),
  asked: z.enum(ASKED).nullish(),
});

interface Options {
  readonly mode: 'jsonl' | 'score' | 'text' | 'tables' | 'help';
  readonly file: string;
  readonly text: string;
  readonly lang: string | undefined;
  readonly phase: string | undefined;
  readonly asked: string | undefined;
  readonly flows: string;
  readonly flags: ReadonlySet<string>;
}

function optionsOf(args: readonly string[]): Options | string {
  const values = new Map<string, string>();
  const flags = new Set<string>();
  for (let at = 0; at < args.length; at += 1) {
    const arg = args[at] ?? '';
    if (['--score', '--learned', '--text', '--lang', '--phase', '--asked', '--flows'].includes(arg)) {
      const value = args[at + 1];
      if (value === undefined) return `${arg} needs a value after it`;
      values.set(arg, value);
      at += 1;
    } else if (['--jsonl', '--misses', '--signs', '--tables', '--help'].includes(arg)) flags.add(arg);
    else return `unknown option ${arg}`;
  }
  const score = values.get('--score');
  const text = values.get('--text');
  const mode = flags.has('--jsonl')
    ? 'jsonl'
    : flags.has('--tables')
      ? 'tables'
      : score !== undefined
        ? 'score'
        : text !== undefined
          ? 'text'
          : 'help';
  return {
    mode,
    file: score ?? '',
    text: text ?? '',
    lang: values.get('--lang'),
    phase: values.get('--phase'),
    asked: values.get('--asked'),
    flows: values.get('--flows') ?? FLOWS_FOLDER,
    flags,
  };
}

/** Runs `toeline read`. Resolves to the exit code: 0 done, 1 some line was no good, 2 the call or the data was wrong. */
export async function runRead(args: readonly string[], io: CommandIo): Promise<number> {
  const options = optionsOf(args);
  if (typeof options === 'string') {
    io.stderr.write(`${options}\n\n${USAGE}`);
    return 2;
  }
  if (options.mode === 'help') {
    io.stdout.write(USAGE);
    return options.flags.has('--help') ? 0 : 2;
  }
  let compiled: CompiledLanguages;
  try {
    compiled = loadLanguages(options.flows);
  } catch (error) {
    if (!(error instanceof FlowsError)) throw error;
    io.stderr.write(`${error.message}\n`);
    return 2;
  }
  if (options.mode === 'jsonl') return readLines(compiled, io);
  if (options.mode === 'score') return score(compiled, options, io);
  if (options.mode === 'tables') {
    io.stdout.write(writeTables(compiled));
    return 0;
  }
  const answer = readLine(
    compiled,
    JSON.stringify({
      id: 'text',
      text: options.text,
      lang: options.lang,
      phase: options.phase,
      asked: options.asked,
    }),
  );
  io.stdout.write(`${JSON.stringify(answer.out, null, 2)}\n`);
  return answer.isGood ? 0 : 1;
}

async function readLines(compiled: CompiledLanguages, io: CommandIo): Promise<number> {
  let exit = 0;
  let pending: string[] = [];
  for await (const row of createInterface({ input: io.stdin, crlfDelay: Number.POSITIVE_INFINITY })) {
    if (row.trim() === '') continue;
    const { out, isGood } = readLine(compiled, row);
    if (!isGood) exit = 1;
    pending.push(JSON.stringify(out));
    if (pending.length >= 200) {
      if (!io.stdout.write(`${pending.join('\n')}\n`))
        await new Promise<void>((resolve) => io.stdout.once('drain', resolve));
      pending = [];
    }
  }
  if (pending.length > 0) io.stdout.write(`${pending.join('\n')}\n`);
  return exit;
}

function readLine(compiled: CompiledLanguages, row: string): { out: unknown; isGood: boolean } {
  let value: unknown;
  try {
    value = JSON.parse(row);
  } catch {
    return {
      out: { id: null, error: 'this line is not JSON; expected one object a line with "id" and "text"' },
      isGood: false,
    };
  }
  const parsed = line.safeParse(value);
  if (!parsed.success) {
    const what = parsed.error.issues
      .map((issue) => `${issue.path.join('.') || 'line'}: ${issue.message}`)
      .join('; ');
    return { out: { id: null, error: what }, isGood: false };
  }
  const { id, text, lang, phase, asked } = parsed.data;
  const reading = readText(compiled, {
    text,
    ...(lang ? { lang } : {}),
    ...(phase ? { phase } : {}),
    ...(asked ? { asked } : {}),
  });
  const { signs, denied, hours, intent, urgency, understood, evidence } = reading;
  return { out: { id, signs, denied, hours, intent, urgency, understood, evidence }, isGood: true };
}

function score(compiled: CompiledLanguages, options: Options, io: CommandIo): number {
  if (!existsSync(options.file)) {
    io.stderr.write(
      `no file ${options.file}: give the path of a file of labelled texts, one JSON object a line\n`,
    );
    return 2;
  }
  const { rows, faults } = labelledTexts(options.file);
  const own = rows.filter((row) => options.lang === undefined || row.lang === options.lang);
  const { byLanguage, misses } = scoreTexts(compiled, own);
  io.stdout.write(scoreTable(byLanguage));
  const all = byLanguage.get('all');
  if (options.flags.has('--signs') && all) io.stdout.write(`\n${signTable(all)}`);
  if (options.flags.has('--misses')) io.stdout.write(`\n${missList(misses)}`);
  for (const fault of faults) io.stderr.write(`${fault}\n`);
  return faults.length > 0 ? 1 : 0;
}
