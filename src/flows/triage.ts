import { type TriageRules, triageRulesSchema } from '../core/triage/rules.js';
import type { Fault } from './fault.js';
import { type Found, orThrow } from './flow-faults.js';
import { readFlowFile } from './flow-file.js';

export const TRIAGE_FILE = 'triage.yaml';
/** Rules the program raises by name; a clinic may change them, not remove them. */
export const RULES_NEEDED = [
  'reader-alarmed',
  'unread',
  'unclear-twice',
  'cannot-restore',
  'opted-out',
  'wrong-number',
  'unknown-number',
  'course-alert',
  'not-better',
  'cannot-go',
  'silent',
  'silent-danger-days',
] as const;

/** The triage rules of a clinic. `folder` is `flows`. Throws every fault at once (`FlowFaults`). */
export function loadTriage(folder: string): TriageRules {
  return orThrow(readTriage(folder));
}

/** As `loadTriage`, the faults in the result: for `toeline check`. */
export function readTriage(folder: string): Found<TriageRules> {
  const read = readFlowFile(folder, TRIAGE_FILE, triageRulesSchema);
  if (!read.isValid) return { value: null, faults: read.faults };
  return { value: read.value, faults: ruleFaults(read.value, read.lineOf) };
}

function ruleFaults(rules: TriageRules, lineOf: (path: readonly PropertyKey[]) => number): Fault[] {
  const faults: Fault[] = [];
  const seen = new Set<string>();
  for (const [index, rule] of rules.rules.entries()) {
    const path = `rules[${index}]`;
    const fault = (key: string, found: string, expected: string) =>
      faults.push({
        file: TRIAGE_FILE,
        line: lineOf(['rules', index, key]),
        path: `${path}.${key}`,
        found,
        expected,
      });
    if (seen.has(rule.id)) fault('id', `a second rule "${rule.id}"`, 'a name of its own');
    seen.add(rule.id);
    if (rule.urgency === 'now' && !rule.when['by-name-only'] && rule.family === null) {
      fault('family', 'no text for the family', 'a safety text, since the rule is `now`');
    }
    for (const source of rule.source) {
      if (/^[a-z0-9-]+$/.test(source) && !(source in rules.sources)) {
        fault('source', `"${source}"`, `a key of sources: ${Object.keys(rules.sources).join(', ')}`);
      }
    }
  }
  for (const id of RULES_NEEDED) {
    if (seen.has(id)) continue;
    faults.push({
      file: TRIAGE_FILE,
      line: 1,
      path: 'rules',
      found: `no rule "${id}"`,
      expected: 'it, since toeline raises it by name',
    });
  }
  return faults;
}
