import { pino } from 'pino';
import { build } from './build.js';
import { systemClock } from './clocks.js';
import type { CommandIo } from './command-io.js';
import { type Config, readConfig } from './config.js';
import { readGatewayFile } from './gateways.js';
import { SaidFault } from './said-fault.js';
import { AlreadyRunning } from './services/lock.js';
import { startServices } from './services/services.js';
import { untilTold } from './until-told.js';

const ROLES = ['both', 'web', 'worker'] as const;

/** `toeline serve [both|web|worker]`: runs until SIGTERM or Ctrl-C, then stops everything in order. */
export async function runServe(args: string[], io: CommandIo): Promise<number> {
  const role = args[0] ?? 'both';
  if (args.length > 1 || !(ROLES as readonly string[]).includes(role)) {
    throw new SaidFault(`serve takes one of ${ROLES.join(', ')}; found "${args.join(' ')}".`, 2);
  }
  const config = readConfig(process.env);
  if (role !== 'both' && (config.DATABASE_URL === undefined || config.REDIS_URL === undefined)) {
    throw new SaidFault(
      'web and worker in processes of their own share servers: set DATABASE_URL and REDIS_URL.',
      2,
    );
  }
  const log = pino({ level: config.TOELINE_LOG, base: { role } });
  const told = untilTold();
  const services = await servicesFor(config, io);
  try {
    const running = await build({
      config,
      ...services,
      clock: systemClock,
      gateways: gatewaysOf(config),
      hasWeb: role !== 'worker',
      hasWorker: role !== 'web',
      note: (words, error) => (error === undefined ? log.info(words) : log.warn({ err: error }, words)),
    });
    io.stderr.write(
      `toeline is running${running.address === null ? '' : ` at ${running.address}`}; Ctrl-C stops it.\n`,
    );
    await told;
    io.stderr.write('toeline is stopping …\n');
    await running.stop();
    return 0;
  } finally {
    await services.stop();
  }
}

/** PostgreSQL and Redis as configured; a second start is said in words, not shown as a stack. */
export async function servicesFor(config: Config, io: CommandIo, dataFolder = config.TOELINE_DATA) {
  try {
    return await startServices({
      dataFolder,
      databaseUrl: config.DATABASE_URL,
      redisUrl: config.REDIS_URL,
      say: (line) => io.stderr.write(`toeline: ${line}\n`),
    });
  } catch (error) {
    if (error instanceof AlreadyRunning) throw new SaidFault(error.message);
    throw error;
  }
}

function gatewaysOf(config: Config) {
  if (config.TOELINE_GATEWAYS === undefined) {
    throw new SaidFault(
      'no gateway is configured: set TOELINE_GATEWAYS to a file that names one (see deploy/gateways).',
      2,
    );
  }
  return readGatewayFile(config.TOELINE_GATEWAYS);
}
