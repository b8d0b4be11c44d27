import { openRecord } from './build.js';
import type { CommandIo } from './command-io.js';
import { readConfig } from './config.js';
import { SaidFault } from './said-fault.js';

/** `toeline migrate`: brings the database of DATABASE_URL to this version and says so. */
export async function runMigrate(args: string[], io: CommandIo): Promise<number> {
  if (args.length > 0) throw new SaidFault(`migrate takes no arguments; found "${args.join(' ')}".`, 2);
  const { DATABASE_URL } = readConfig(process.env);
  if (DATABASE_URL === undefined) {
    throw new SaidFault(
      'set DATABASE_URL to the database to migrate; a private one is migrated whenever toeline starts.',
      2,
    );
  }
  const store = await openRecord(DATABASE_URL, (words) => io.stderr.write(`${words}\n`));
  await store.close();
  io.stdout.write('The database is at this version.\n');
  return 0;
}
