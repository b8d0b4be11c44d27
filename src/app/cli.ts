import type { CommandIo } from './command-io.js';
import { SaidFault } from './said-fault.js';

interface Command {
  readonly summary: string;
  /** Loaded only when called: reading one text must not load the web server. Resolves to the exit code. */
  readonly load: () => Promise<(args: string[], io: CommandIo) => Promise<number>>;
}

const COMMANDS: Readonly<Record<string, Command>> = {
  demo: {
    summary:
      'an invented clinic with its families, phones and a clock that can be moved (--play: without a browser)',
    load: async () => (await import('./demo/demo-command.js')).runDemo,
  },
  serve: {
    summary: 'run toeline: serve [both|web|worker]',
    load: async () => (await import('./serve-command.js')).runServe,
  },
  read: {
    summary:
      'read texts: one JSON object a line in, one a line out (--jsonl), or score a labelled file (--score FILE)',
    load: async () => (await import('./read-command.js')).runRead,
  },
  course: {
    summary: 'a child’s record in (JSON), the dated course out',
    load: async () => (await import('./course-command.js')).runCourse,
  },
  check: {
    summary: 'every mistake in the files a clinic may change, with file and line',
    load: async () => (await import('./check-command.js')).runCheck,
  },
  segments: {
    summary: 'what every message costs in each language (--all: one line a message)',
    load: async () => (await import('./segments-command.js')).runSegments,
  },
  figures: {
    summary: 'what a programme reports: dropout, attendance, casts, tenotomies, wear',
    load: async () => (await import('./figures-command.js')).runFigures,
  },
  'wear-table': {
    summary: 'how soon the rule for a lapse of brace wear fires, by simulation',
    load: async () => (await import('./wear-table-command.js')).runWearTable,
  },
  'nurse-day': {
    summary: 'queue lengths, waits and escalations of invented days: 2,000 families, two nurses',
    load: async () => (await import('./nurse-day-command.js')).runNurseDay,
  },
  bench: {
    summary: 'speed and memory as ratios to a stated reference',
    load: async () => (await import('./bench-command.js')).runBench,
  },
  migrate: {
    summary: 'bring the database to this version',
    load: async () => (await import('./migrate-command.js')).runMigrate,
  },
};

/** Runs one command line; resolves to the exit code. 2: the command line itself was wrong. */
export async function main(args: string[], io: CommandIo = process): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === 'help' || name === '--help') {
    io.stdout.write(usage());
    return name === undefined ? 2 : 0;
  }
  const command = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (command === undefined) {
    io.stderr.write(`toeline: there is no command "${name}".\n\n${usage()}`);
    return 2;
  }
  // A reader that has gone away (head, less, a closed terminal) is no fault of ours, and no reason not to stop in order.
  for (const stream of [io.stdout, io.stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code !== 'EPIPE') throw error;
    });
  }
  const run = await command.load();
  try {
    return await run(rest, io);
  } catch (error) {
    if (!(error instanceof SaidFault)) throw error;
    io.stderr.write(`toeline ${name}: ${error.message}\n`);
    return error.exitCode;
  }
}

function usage(): string {
  const width = Math.max(...Object.keys(COMMANDS).map((name) => name.length));
  const rows = Object.entries(COMMANDS).map(([name, { summary }]) => `  ${name.padEnd(width)}  ${summary}`);
  return `usage: toeline COMMAND …\n\n${rows.join('\n')}\n`;
}
