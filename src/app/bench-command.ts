import type { CommandIo } from './command-io.js';
import { SaidFault } from './said-fault.js';

/** Each benchmark prints ratios to a reference measured in the same run. */
const BENCHES: Readonly<Record<string, () => Promise<(io: CommandIo) => Promise<void>>>> = {
  read: async () => {
    const { benchRead } = await import('./bench/read-bench.js');
    return async (io) => {
      io.stdout.write(`${(await benchRead()).join('\n')}\n`);
    };
  },
  course: async () => {
    const { benchCourse } = await import('./bench/course-bench.js');
    return async (io) => {
      io.stdout.write(`${[await benchCourse()].flat().join('\n')}\n`);
    };
  },
};

/** Runs `toeline bench NAME`. */
export async function runBench(args: string[], io: CommandIo): Promise<number> {
  const [name = ''] = args;
  const load = Object.hasOwn(BENCHES, name) ? BENCHES[name] : undefined;
  if (load === undefined || args.length > 1) {
    throw new SaidFault(
      `bench takes one of ${Object.keys(BENCHES).join(', ')}; found "${args.join(' ')}".`,
      2,
    );
  }
  const bench = await load();
  await bench(io);
  return 0;
}
