import type { Readable } from 'node:stream';
import { planCourse } from '../core/course/course.js';
import { sayFault } from '../core/course/faults.js';
import { readCourseInput } from '../core/course/read-input.js';
import { sayFlowFault } from '../flows/fault.js';
import { loadProtocols } from '../flows/protocols.js';
import type { CommandIo } from './command-io.js';
import { FLOWS_FOLDER } from './flows-folder.js';

const HELP = `toeline course: a child's dated course

Reads one JSON object from standard input and writes one JSON object, the course, to standard output:
  {"child": {"id", "born", "feet": ["left", "right"]},
   "clinic": {"timeZone", "clinicDays": ["tuesday"], "holidays": ["2026-04-03"]},
   "protocol": "standard", "events": [...], "asOf": "2026-03-01"}
Events, their fields and the course are explained in src/core/course/README.md.
Wrong input: every problem on standard error, one a line with its path; exit code 2; nothing on standard output.

  --flows FOLDER   folder with protocols/*.yaml (default: the one that ships with toeline)
  --pretty         indent the output
`;

/** Runs `toeline course`. Answers the exit code: 0 when a course was written, 2 on any fault of input or protocol files. */
export async function runCourse(args: string[], io: CommandIo): Promise<number> {
  const options = readOptions(args);
  if (typeof options === 'string') {
    io.stderr.write(`${options}\n`);
    return 2;
  }
  if (options.isHelp) {
    io.stdout.write(HELP);
    return 0;
  }
  const { protocols, faults } = loadProtocols(options.flows);
  const given = await readJson(io.stdin);
  if (!given.isJson) {
    io.stderr.write(`input: ${given.problem}\n`);
    return 2;
  }
  const read = readCourseInput(given.value, [...protocols.keys()]);
  const protocol = read.isValid ? protocols.get(read.input.protocol) : undefined;
  if (!read.isValid || protocol === undefined) {
    for (const fault of read.isValid ? [] : read.faults) io.stderr.write(`${sayFault(fault)}\n`);
    for (const fault of faults) io.stderr.write(`${sayFlowFault(fault)}\n`);
    return 2;
  }
  io.stdout.write(
    `${JSON.stringify(planCourse(read.input, protocol), null, options.isPretty ? 2 : undefined)}\n`,
  );
  return 0;
}

interface Options {
  readonly flows: string;
  readonly isPretty: boolean;
  readonly isHelp: boolean;
}

function readOptions(args: readonly string[]): Options | string {
  let flows = FLOWS_FOLDER;
  let isPretty = false;
  let isHelp = false;
  for (let i = 0; i < args.length; i++) {
    const arg = args[i];
    if (arg === '--help' || arg === '-h') isHelp = true;
    else if (arg === '--pretty') isPretty = true;
    else if (arg === '--flows') {
      const folder = args[++i];
      if (folder === undefined) return '--flows needs a folder after it';
      flows = folder;
    } else return `unknown option "${arg}"; "toeline course --help" lists them`;
  }
  return { flows, isPretty, isHelp };
}

type Json =
  | { readonly isJson: true; readonly value: unknown }
  | { readonly isJson: false; readonly problem: string };

async function readJson(stdin: Readable): Promise<Json> {
  const pieces: Buffer[] = [];
  for await (const piece of stdin)
    pieces.push(typeof piece === 'string' ? Buffer.from(piece) : (piece as Buffer));
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(pieces));
  } catch {
    return { isJson: false, problem: 'found bytes that are not UTF-8; expected one JSON object in UTF-8' };
  }
  if (text.trim() === '')
    return { isJson: false, problem: 'found nothing on standard input; expected one JSON object' };
  try {
    return { isJson: true, value: JSON.parse(text) };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return {
      isJson: false,
      problem: `found text that is not one JSON object (${why}); expected one JSON object`,
    };
  }
}
