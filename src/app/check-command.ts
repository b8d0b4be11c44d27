import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { drawCheckIn } from '../core/conversation/picture/draw.js';
import type { CompiledLanguages } from '../core/reading/compile.js';
import { readCheckIns } from '../flows/check-ins.js';
import { checkTalk } from '../flows/check-talk.js';
import { sayFlowFault } from '../flows/fault.js';
import { readMessages } from '../flows/messages.js';
import { checkProtocols } from '../flows/protocols.js';
import { FlowsError, loadLanguages } from '../flows/reading-data.js';
import { loadStaffLanguages } from '../flows/staff-languages.js';
import { readTriage } from '../flows/triage.js';
import type { CommandIo } from './command-io.js';
import { FLOWS_FOLDER } from './flows-folder.js';
import { SaidFault } from './said-fault.js';

const HELP = `toeline check: every mistake in the files a clinic may change

  toeline check [--flows FOLDER]   one line a mistake: file, line, what was found, what is expected
                                   exit 0: none; 1: some; 2: the call was wrong
  --json                           one mistake a line as JSON
  --draw FOLDER                    also draw every check-in into FOLDER, an SVG picture each
  --language CODE                  the language of the pictures' texts (default en)
`;

/** Runs `toeline check`: protocols, check-ins, triage rules, wording, vocabularies, staff wording. */
export async function runCheck(args: string[], io: CommandIo): Promise<number> {
  const { flows, json, help, draw, language } = optionsOf(args);
  if (help) {
    io.stdout.write(HELP);
    return 0;
  }
  if (!existsSync(flows)) throw new SaidFault(`there is no folder ${flows}.`, 2);
  const faults = [...checkProtocols(flows), ...checkTalk(flows, languagesOrNull(flows))];
  const other = [
    ...said(() => loadLanguages(flows)),
    ...said(() => loadStaffLanguages(join(flows, 'staff-languages'))),
  ];
  for (const fault of faults) io.stdout.write(`${json ? JSON.stringify(fault) : sayFlowFault(fault)}\n`);
  for (const line of other) io.stdout.write(`${json ? JSON.stringify({ found: line }) : line}\n`);
  const count = faults.length + other.length;
  if (draw !== undefined) io.stderr.write(`${drawAll(flows, draw, language)}\n`);
  io.stderr.write(count === 0 ? 'No mistakes found.\n' : `${count} to mend.\n`);
  return count === 0 ? 0 : 1;
}

/** The vocabularies, or null when they cannot be read: their own faults are listed beside. */
function languagesOrNull(flows: string): CompiledLanguages | null {
  try {
    return loadLanguages(flows);
  } catch {
    return null;
  }
}

/** The lines of an error that a loader throws with all its faults; nothing when it throws none. */
function said(load: () => unknown): string[] {
  try {
    load();
    return [];
  } catch (error) {
    if (error instanceof FlowsError)
      return error.faults.map(({ file, line, message }) => `${file}:${line}: ${message}`);
    if (!(error instanceof Error)) throw error;
    // The first line says that there are faults, the others which.
    const [first = '', ...others] = error.message.split('\n').filter((line) => line !== '');
    return others.length === 0 ? [first] : others;
  }
}

/** Draws every check-in; says what was drawn, or why nothing could be. */
function drawAll(flows: string, folder: string, language: string): string {
  const messages = readMessages(flows).value;
  const rules = readTriage(flows).value;
  const checkIns = messages && rules ? readCheckIns(flows, messages, rules).value : null;
  if (checkIns === null) return 'Nothing drawn: mend the check-ins, rules and wording first.';
  mkdirSync(folder, { recursive: true });
  for (const definition of Object.values(checkIns)) {
    writeFileSync(join(folder, `${definition.name}.svg`), drawCheckIn(definition, language));
  }
  return `${Object.keys(checkIns).length} pictures drawn into ${folder}.`;
}

interface CheckOptions {
  readonly flows: string;
  readonly json: boolean;
  readonly help: boolean;
  readonly draw?: string | undefined;
  readonly language: string;
}

function optionsOf(args: string[]): CheckOptions {
  try {
    const { values } = parseArgs({
      args,
      options: {
        flows: { type: 'string', default: FLOWS_FOLDER },
        json: { type: 'boolean', default: false },
        draw: { type: 'string' },
        language: { type: 'string', default: 'en' },
        help: { type: 'boolean', short: 'h', default: false },
      },
    });
    return values;
  } catch (error) {
    throw new SaidFault(`${(error as Error).message}\n\n${HELP}`, 2);
  }
}
