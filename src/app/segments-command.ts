import { SAMPLE_VALUES } from '../core/conversation/check-texts.js';
import { segmentsReport } from '../core/texts/segments-report.js';
import { loadMessages } from '../flows/messages.js';
import type { CommandIo } from './command-io.js';
import { FLOWS_FOLDER } from './flows-folder.js';
import { SaidFault } from './said-fault.js';

/** Curly quotes and dashes may always be written plainly; letters only where a language's own data say so. */
const PLAIN = { typography: true, letters: {} };

/** Runs `toeline segments`: what every message costs in each language, placeholders filled with likely values. */
export async function runSegments(args: string[], io: CommandIo): Promise<number> {
  const isWhole = args.includes('--all');
  const unknown = args.filter((arg) => arg !== '--all');
  if (unknown.length > 0) {
    throw new SaidFault(
      `segments takes --all (every message, not only the sums); found "${unknown.join(' ')}".`,
      2,
    );
  }
  const messages = loadMessages(FLOWS_FOLDER);
  const filled = Object.fromEntries(
    Object.entries(messages).map(([language, { texts }]) => [
      language,
      {
        messages: Object.fromEntries(
          Object.entries(texts).map(([key, text]) => [
            key,
            text.replace(/\{([a-z]+)\}/g, (_, name: string) => SAMPLE_VALUES[name] ?? name),
          ]),
        ),
        plain: PLAIN,
      },
    ]),
  );
  const { rows, languages } = segmentsReport(filled);
  io.stdout.write('language  messages  parts  longest  in the wide alphabet\n');
  for (const { language, messages: count, parts, longest, wide } of languages) {
    io.stdout.write(
      `${language.padEnd(8)}  ${String(count).padStart(8)}  ${String(parts).padStart(5)}  ${String(longest).padStart(7)}  ${wide}\n`,
    );
  }
  if (!isWhole) return 0;
  io.stdout.write('\n');
  for (const row of rows) {
    const costly = row.costly.length > 0 ? `  because of ${row.costly.join(' ')}` : '';
    io.stdout.write(
      `${row.language}  ${row.key}  ${row.encoding}  ${row.units} units  ${row.parts} part(s)${costly}\n`,
    );
  }
  return 0;
}
