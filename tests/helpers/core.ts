import { checkInDefinitions, loadCheckIns } from '../../src/flows/check-ins.js';
import { loadMessages } from '../../src/flows/messages.js';
import { loadProtocols } from '../../src/flows/protocols.js';
import { loadLanguages } from '../../src/flows/reading-data.js';
import { loadTriage } from '../../src/flows/triage.js';
import { coreFrom, type LoadedFlows } from '../../src/jobs/core-from-flows.js';
import { plainAnswers } from '../core/conversation/family.js';

const FLOWS = new URL('../../flows', import.meta.url).pathname;

/** The project's own flows, as a clinic would run them. */
export function realFlows(): LoadedFlows {
  const messages = loadMessages(FLOWS);
  const rules = loadTriage(FLOWS);
  return {
    definitions: checkInDefinitions(loadCheckIns(FLOWS, messages, rules), [], plainAnswers),
    rules,
    languages: loadLanguages(FLOWS),
    messages,
    protocols: loadProtocols(FLOWS).protocols,
  };
}

let core: ReturnType<typeof coreFrom> | undefined;

/** The real core, loaded once a test file. */
export function realCore(): ReturnType<typeof coreFrom> {
  core ??= coreFrom(realFlows());
  return core;
}
