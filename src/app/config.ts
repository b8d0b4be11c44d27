import { join } from 'node:path';
import { z } from 'zod';
import { FLOWS_FOLDER } from './flows-folder.js';
import { SaidFault } from './said-fault.js';

/** The project's own folder, whether run from `src` or from `dist`. */
export const PROJECT_FOLDER = join(import.meta.dirname, '..', '..');

/** Every setting with its sentence, unit and default. Read once at start; nobody reads the environment later. */
const schema = z.strictObject({
  /** A PostgreSQL to use; unset: a private one is started in TOELINE_DATA. */
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'must start with postgres://')
    .optional(),
  /** A Redis to use; unset: a private one is started in TOELINE_DATA. */
  REDIS_URL: z
    .string()
    .regex(/^rediss?:\/\//, 'must start with redis:// or rediss://')
    .optional(),
  /** Folder of the private servers. Default: `.toeline` in the project. */
  TOELINE_DATA: z.string().min(1).default(join(PROJECT_FOLDER, '.toeline')),
  /** Address the web server listens on. Default 127.0.0.1: only this machine. */
  TOELINE_HOST: z.string().min(1).default('127.0.0.1'),
  /** TCP port of the web server, 0 for any free one. Default 8080. */
  TOELINE_PORT: z.coerce.number().int('must be a whole number').min(0).max(65_535).default(8080),
  /** Where families' gateways and staff reach the web server from outside. Default: built from host and port. */
  TOELINE_URL: z.url('must be a web address such as https://toeline.example.org').optional(),
  /** Folder of the files a clinic may change. Default: `flows` in the project. */
  TOELINE_FLOWS: z.string().min(1).default(FLOWS_FOLDER),
  /** File that names the gateways and their secrets (see deploy/gateways). */
  TOELINE_GATEWAYS: z.string().min(1).optional(),
  /** How much is logged. Default info. */
  TOELINE_LOG: z.enum(['silent', 'error', 'warn', 'info', 'debug']).default('info'),
  /** Hours ahead for which planned texts are put into the queue. Default 48. */
  TOELINE_HORIZON_HOURS: z.coerce
    .number()
    .min(1)
    .max(24 * 14)
    .default(48),
});

export type Config = Readonly<z.infer<typeof schema>>;

/**
 * Reads the settings from an environment: all faults at once, in words; an unknown TOELINE_ name is a fault,
 * because it is most often a misspelt one.
 */
export function readConfig(environment: NodeJS.ProcessEnv): Config {
  const known = Object.keys(schema.shape);
  const given = Object.fromEntries(
    Object.entries(environment).filter(
      ([name, value]) => value !== '' && (known.includes(name) || name.startsWith('TOELINE_')),
    ),
  );
  const result = schema.safeParse(given);
  if (result.success) return Object.freeze(result.data);
  const faults = result.error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((name) => `${name}: there is no such setting; there are ${known.join(', ')}`)
      : [`${issue.path.join('.')}: ${issue.message} (found "${String(given[String(issue.path[0])] ?? '')}")`],
  );
  throw new SaidFault(`the settings cannot be used:\n${faults.map((fault) => `  ${fault}`).join('\n')}`, 2);
}
