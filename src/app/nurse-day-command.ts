import { parseArgs } from 'node:util';
import type { CommandIo } from './command-io.js';
import { loadFlows } from './flows.js';
import { FLOWS_FOLDER } from './flows-folder.js';
import { SaidFault } from './said-fault.js';
import { nurseDays } from './simulate/nurse-days.js';
import { nurseDayTables } from './simulate/tables.js';

const HELP = `toeline nurse-day: days of a clinic with invented families, and what its nurses' queue looks like

The reader, the conversations, the rules and the ladder are the real ones; families, times and nurses are invented
(src/app/simulate/README.md says what is assumed). Prints tables.

  --families N      families (default 2000)
  --nurses N        nurses in clinic hours, 08:00 to 16:00 on weekdays (default 2)
  --days N          days from a Monday on; the last weekday is shown by the hour (default 5)
  --answer-rate P   share of check-ins answered, 0 to 1 (default 0.4)
  --seed S          the same seed gives the same days (default 1)
  --flows FOLDER    the clinic's files
`;

/** Runs `toeline nurse-day`; resolves to the exit code. */
export async function runNurseDay(args: string[], io: CommandIo): Promise<number> {
  const values = optionsOf(args);
  if (values.help) {
    io.stdout.write(HELP);
    return 0;
  }
  const options = {
    families: number(values.families, 'families', 1, 100_000),
    nurses: number(values.nurses, 'nurses', 0, 1_000),
    days: number(values.days, 'days', 1, 60),
    seed: number(values.seed, 'seed', 0, 4_294_967_295),
    answerRate: number(values['answer-rate'], 'answer-rate', 0, 1, false),
  };
  const days = nurseDays(loadFlows(values.flows), options);
  io.stdout.write(`${nurseDayTables(days, options).join('\n')}\n`);
  return 0;
}

function number(text: string, name: string, from: number, to: number, isWhole = true): number {
  const value = Number(text);
  if ((isWhole && !Number.isInteger(value)) || !(value >= from && value <= to)) {
    throw new SaidFault(
      `--${name} is "${text}"; a ${isWhole ? 'whole ' : ''}number from ${from} to ${to} is needed.`,
      2,
    );
  }
  return value;
}

function optionsOf(args: string[]) {
  try {
    const option = (fallback: string) => ({ type: 'string', default: fallback }) as const;
    return parseArgs({
      args,
      options: {
        families: option('2000'),
        nurses: option('2'),
        days: option('5'),
        'answer-rate': option('0.4'),
        seed: option('1'),
        flows: option(FLOWS_FOLDER),
        help: { type: 'boolean', short: 'h', default: false },
      },
    }).values;
  } catch (error) {
    throw new SaidFault(`${(error as Error).message}\n\n${HELP}`, 2);
  }
}
