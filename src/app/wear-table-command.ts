import type { CommandIo } from './command-io.js';
import { wearTable } from './wear-simulation.js';

const HELP = `toeline wear-table: how soon the lapse rule fires, by simulation

Prints the table of src/core/course/wear/README.md for invented families with stated wear patterns.

  --families N   families a row (default 400)
  --seed S       the same seed gives the same table (default 1)
`;

/** Runs `toeline wear-table`; answers the exit code. */
export async function runWearTable(args: string[], io: CommandIo): Promise<number> {
  const numbers: Record<string, number> = { '--families': 400, '--seed': 1 };
  for (let i = 0; i < args.length; i++) {
    const arg = args[i] ?? '';
    if (arg === '--help' || arg === '-h') {
      io.stdout.write(HELP);
      return 0;
    }
    const value = Number(args[++i]);
    if (!(arg in numbers) || !Number.isInteger(value) || value < 1) {
      io.stderr.write(
        `"${arg}" is no option with a whole number from 1 on after it; "toeline wear-table --help" lists them\n`,
      );
      return 2;
    }
    numbers[arg] = value;
  }
  io.stdout.write(`${wearTable(numbers['--families'] ?? 400, numbers['--seed'] ?? 1).join('\n')}\n`);
  return 0;
}
