import { createInterface } from 'node:readline';
import { z } from 'zod';
import { sayFault } from '../core/course/faults.js';
import { type Figures, type ProgrammeChild, programmeFigures } from '../core/course/programme/figures.js';
import { survivalAt } from '../core/course/programme/kaplan-meier.js';
import type { Protocol } from '../core/course/protocol.js';
import { readCourseInput } from '../core/course/read-input.js';
import { sayFlowFault } from '../flows/fault.js';
import { loadProtocols } from '../flows/protocols.js';
import type { CommandIo } from './command-io.js';
import { FLOWS_FOLDER } from './flows-folder.js';

const HELP = `toeline figures: what a programme reports

Reads one child a line from standard input: the record "toeline course" reads, with two optional fields,
  "clinicName": "Hill", "wear": [{"date": "2026-03-16", "low": 20, "high": 22}]
and writes a table per clinic and for all clinics to standard output.

  --quarter 2026-Q1   only what lies in that quarter
  --json              the figures as one JSON list, the dropout curve with its confidence limits
  --flows FOLDER      folder with protocols/*.yaml (default: the one that ships with toeline)
Wrong lines: every problem on standard error with its line; exit code 2; nothing on standard output.
`;

const extras = z.object({
  clinicName: z.string().min(1).optional(),
  wear: z
    .array(
      z.strictObject({ date: z.iso.date(), low: z.number().min(0).max(24), high: z.number().min(0).max(24) }),
    )
    .optional(),
});

interface Options {
  readonly quarter: string | null;
  readonly isJson: boolean;
  readonly flows: string;
}

/** Runs `toeline figures`; answers the exit code. */
export async function runFigures(args: string[], io: CommandIo): Promise<number> {
  if (args.includes('--help') || args.includes('-h')) {
    io.stdout.write(HELP);
    return 0;
  }
  const options = readOptions(args);
  if (typeof options === 'string') {
    io.stderr.write(`${options}\n`);
    return 2;
  }
  const { protocols, faults } = loadProtocols(options.flows);
  const problems = faults.map(sayFlowFault);
  const children: ProgrammeChild[] = [];
  let line = 0;
  for await (const text of createInterface({ input: io.stdin })) {
    line += 1;
    if (text.trim() === '') continue;
    const read = readChild(text, protocols);
    if (Array.isArray(read)) problems.push(...read.map((problem) => `line ${line}: ${problem}`));
    else children.push(read);
  }
  if (problems.length > 0) {
    io.stderr.write(`${problems.join('\n')}\n`);
    return 2;
  }
  const figures = programmeFigures(children, options.quarter);
  io.stdout.write(options.isJson ? `${JSON.stringify(figures)}\n` : `${figures.map(table).join('\n\n')}\n`);
  return 0;
}

function readOptions(args: readonly string[]): Options | string {
  let options: Options = { quarter: null, isJson: false, flows: FLOWS_FOLDER };
  for (let i = 0; i < args.length; i++) {
    const arg = args[i];
    if (arg === '--json') options = { ...options, isJson: true };
    else if (arg === '--quarter') {
      const quarter = args[++i] ?? '';
      if (!/^\d{4}-Q[1-4]$/.test(quarter))
        return `--quarter: found "${quarter}"; expected a quarter such as 2026-Q1`;
      options = { ...options, quarter };
    } else if (arg === '--flows' && args[i + 1] !== undefined)
      options = { ...options, flows: args[++i] ?? '' };
    else return `unknown option "${arg}"; "toeline figures --help" lists them`;
  }
  return options;
}

function readChild(text: string, protocols: ReadonlyMap<string, Protocol>): ProgrammeChild | string[] {
  let given: unknown;
  try {
    given = JSON.parse(text);
  } catch (error) {
    return [`not one JSON object (${error instanceof Error ? error.message : String(error)})`];
  }
  if (typeof given !== 'object' || given === null) return ['not one JSON object'];
  const { clinicName: _, wear: __, ...record } = given as Record<string, unknown>;
  const more = extras.safeParse(given);
  const read = readCourseInput(record, [...protocols.keys()]);
  const protocol = read.isValid ? protocols.get(read.input.protocol) : undefined;
  if (!more.success || !read.isValid || protocol === undefined)
    return [
      ...(read.isValid ? [] : read.faults.map(sayFault)),
      ...(more.success ? [] : more.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`)),
    ];
  return {
    clinic: more.data.clinicName ?? 'clinic',
    input: read.input,
    protocol,
    wear: more.data.wear ?? [],
  };
}

function table(figures: Figures): string {
  const { castsPerFoot: casts, dropout } = figures;
  const deviation = casts.standardDeviation === null ? '' : ` +/- ${casts.standardDeviation.toFixed(2)}`;
  const rows: [string, string][] = [
    ['children', String(figures.children)],
    ['visits kept', percent(figures.attendance)],
    ['  of these inside the window', percent(figures.onTime)],
    [
      'casts per foot',
      casts.mean === null
        ? 'no foot finished'
        : `${casts.mean.toFixed(2)}${deviation}, ${casts.least} to ${casts.most} (${casts.feet} feet)`,
    ],
    ['feet with a tenotomy', percent(figures.tenotomy)],
    [
      'lost to follow-up',
      `${dropout.lost} of ${dropout.children}: ${dropout.inCasting} in casting, ${dropout.afterTenotomy} after the tenotomy, ${dropout.inBrace} in the brace`,
    ],
    ...[183, 365, 730].map((days): [string, string] => [
      `  still in care after ${days} days`,
      inCare(figures, days),
    ]),
    ...figures.wearByAge.map(({ years, hours, days, children }): [string, string] => [
      `hours told at age ${years}`,
      `${hours.toFixed(1)} (${days} days of ${children} children; sensors count less, see the wear page)`,
    ]),
  ];
  const title = `${figures.clinic}${figures.quarter === null ? '' : `, ${figures.quarter}`}`;
  return [title, ...rows.map(([name, value]) => `  ${name.padEnd(32)}${value}`)].join('\n');
}

function percent({ count, of, share, low, high }: Figures['attendance']): string {
  if (share === null || low === null || high === null) return 'none';
  return `${(share * 100).toFixed(1)} % (${count} of ${of}; 95 % limits ${(low * 100).toFixed(1)} to ${(high * 100).toFixed(1)})`;
}

function inCare({ dropout }: Figures, days: number): string {
  if (dropout.children === 0) return 'nobody';
  const step = survivalAt(dropout.curve, days);
  if (step === null) return '100 % (nobody lost by then)';
  const limits =
    step.low === null || step.high === null
      ? ''
      : ` (95 % limits ${(step.low * 100).toFixed(1)} to ${(step.high * 100).toFixed(1)})`;
  return `${(step.survival * 100).toFixed(1)} %${limits}`;
}
