import { answerReader } from '../core/conversation/answer-words.js';
import type { Definition } from '../core/conversation/definition.js';
import { answersOf } from '../core/reading/answers.js';
import { checkInDefinitions, loadCheckIns } from '../flows/check-ins.js';
import { sayFlowFault } from '../flows/fault.js';
import { FlowFaults } from '../flows/flow-faults.js';
import { loadMessages } from '../flows/messages.js';
import { loadProtocols } from '../flows/protocols.js';
import { FlowsError, loadLanguages } from '../flows/reading-data.js';
import { loadTriage } from '../flows/triage.js';
import type { LoadedFlows } from '../jobs/core-from-flows.js';
import { SaidFault } from './said-fault.js';

/**
 * Everything a clinic may change, loaded from its folder. Throws a SaidFault that names every fault with file and
 * line: toeline does not start on half a set of rules. `older`: check-ins that families are still in the middle of, as
 * they stood when they began.
 */
export function loadFlows(folder: string, older: readonly Definition[] = []): LoadedFlows {
  try {
    const messages = loadMessages(folder);
    const rules = loadTriage(folder);
    const languages = loadLanguages(folder);
    const { protocols, faults } = loadProtocols(folder);
    if (faults.length > 0) throw new FlowFaults(faults);
    const definitions = checkInDefinitions(
      loadCheckIns(folder, messages, rules),
      older,
      answerReader(messages, answersOf(languages)),
    );
    return { definitions, rules, languages, messages, protocols };
  } catch (error) {
    throw asSaid(error, folder);
  }
}

/** One kind of file is read after another, so there may be more than these: `toeline check` lists them all. */
function asSaid(error: unknown, folder: string): unknown {
  const more = `\n\`toeline check --flows ${folder}\` lists every mistake in every file.`;
  if (error instanceof FlowFaults) {
    const lines = error.faults.map((fault) => `  ${sayFlowFault(fault)}`).join('\n');
    return new SaidFault(`the files in ${folder} cannot be used:\n${lines}${more}`, 2);
  }
  return error instanceof FlowsError ? new SaidFault(`${error.message}${more}`, 2) : error;
}
