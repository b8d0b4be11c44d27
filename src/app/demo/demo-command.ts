import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { allClinics } from '../../store/clinics.js';
import { createSignInLink } from '../../store/staff.js';
import type { CommandIo } from '../command-io.js';
import { readConfig } from '../config.js';
import { SaidFault } from '../said-fault.js';
import { freePort } from '../services/ports.js';
import { untilTold } from '../until-told.js';
import { startDemo } from './demo.js';
import { play } from './play.js';

const HELP = `toeline demo: an invented clinic, its families’ phones, and a clock that can be moved

  toeline demo            opens it in the browser’s reach; Ctrl-C ends it, the next start goes on from there
  --fresh                 forgets the last demonstration first
  --play                  lives through a few days of three families without a browser, then ends
  --json                  with --play: one event a line as JSON
`;

/** A link on the terminal of whoever started the demonstration may be clicked later than one sent to a nurse. */
const LINK_LIVES_MS = 12 * 3_600_000;

/** Runs `toeline demo`. Exit 0; with --play 0 only when every expected flag stands in the queue. */
export async function runDemo(args: string[], io: CommandIo): Promise<number> {
  const options = optionsOf(args);
  if (options.help) {
    io.stdout.write(HELP);
    return 0;
  }
  const config = readConfig(process.env);
  const dataFolder = join(config.TOELINE_DATA, options.play ? 'play' : 'demo');
  if (options.play || options.fresh) forget(dataFolder, config.DATABASE_URL);
  // A demonstration never takes a port away from a clinic: the usual one if it is free, else any.
  const port = options.play
    ? 0
    : process.env.TOELINE_PORT === undefined
      ? await freePort(config.TOELINE_PORT)
      : config.TOELINE_PORT;
  const told = untilTold();
  const demo = await startDemo({ config: { ...config, TOELINE_PORT: port }, dataFolder, io });
  try {
    if (options.play) return await play(demo, io, options.json);
    const nurse = demo.staff.find((person) => person.role === 'nurse') ?? demo.staff[0];
    if (nurse === undefined) throw new SaidFault('the demonstration has no staff; start it with --fresh.');
    const token = await createSignInLink(demo.running.store, nurse.id, demo.clock.now(), LINK_LIVES_MS);
    const [clinic] = await allClinics(demo.running.store);
    io.stdout.write(`
  ${clinic?.name ?? 'The clinic'} is open. Nobody in it exists.

  Sign in (once, as ${nurse.name}):
    ${demo.running.address}/sign-in?link=${token}
  Then: the queue at ${demo.running.address}/queue, the families’ phones at ${demo.running.address}/demo/phones,
  and the clock at ${demo.running.address}/demo/clock. Ctrl-C ends it.
`);
    await told;
    io.stderr.write('toeline is stopping …\n');
    return 0;
  } finally {
    await demo.stop();
  }
}

function optionsOf(args: string[]): { play: boolean; json: boolean; fresh: boolean; help: boolean } {
  try {
    const { values } = parseArgs({
      args,
      options: {
        play: { type: 'boolean', default: false },
        json: { type: 'boolean', default: false },
        fresh: { type: 'boolean', default: false },
        help: { type: 'boolean', short: 'h', default: false },
      },
    });
    return values;
  } catch (error) {
    throw new SaidFault(`${(error as Error).message}\n\n${HELP}`, 2);
  }
}

/** Only a private demonstration can be forgotten; somebody’s own database is not ours to empty. */
function forget(dataFolder: string, databaseUrl: string | undefined): void {
  if (databaseUrl !== undefined) return;
  rmSync(dataFolder, { recursive: true, force: true });
}
