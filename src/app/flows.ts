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
    if (error instanceof FlowFaults) {
      throw new SaidFault(
        `the files in ${folder} cannot be used:\n${error.faults.map((fault) => `  ${sayFlowFault(fault)}`).join('\n')}`,
        2,
      );
    }
    if (error instanceof FlowsError) throw new SaidFault(error.message, 2);
    throw error;
  }
}
