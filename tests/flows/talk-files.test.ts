import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkTalk } from '../../src/flows/check-talk.js';
import { sayFlowFault } from '../../src/flows/fault.js';
import { FlowFaults } from '../../src/flows/flow-faults.js';
import { loadMessages } from '../../src/flows/messages.js';
import { loadLanguages } from '../../src/flows/reading-data.js';
import { loadTriage } from '../../src/flows/triage.js';

const FLOWS = new URL('../../flows', import.meta.url).pathname;
const languages = loadLanguages(FLOWS);
let folder = '';

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'toeline-flows-'));
  for (const part of ['check-ins', 'languages', 'triage.yaml']) {
    cpSync(join(FLOWS, part), join(folder, part), { recursive: true });
  }
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function edit(file: string, from: string, to: string): number {
  const path = join(folder, file);
  const text = readFileSync(path, 'utf8');
  const at = text.indexOf(from);
  expect(at, `${file} has "${from}"`).toBeGreaterThanOrEqual(0);
  writeFileSync(path, text.replace(from, to));
  return text.slice(0, at).split('\n').length;
}

const faults = () => checkTalk(folder, languages).map(sayFlowFault);

describe('the files of check-ins, rules and wording', () => {
  it('are without fault as they ship', () => {
    expect(faults()).toEqual([]);
  });

  it.each([
    ['triage.yaml', 'urgency: now', 'urgency: nwo', /"nwo"; expected/],
    ['triage.yaml', 'any: [cast-tight]', 'any: [cast-tihgt]', /"cast-tihgt"; expected/],
    ['triage.yaml', 'matter: circulation', 'mater: circulation', /mater: found an unknown key/],
    ['triage.yaml', 'now: 15 minutes', 'now: a while', /"a while"; expected a length of time/],
    [
      'triage.yaml',
      'source: [gillette-cast,',
      'source: [gilette-cast,',
      /"gilette-cast"; expected a key of sources/,
    ],
    ['triage.yaml', 'id: cannot-go', 'id: can-not-go', /no rule "cannot-go"; expected it, since/],
    ['triage.yaml', 'family: go-now-cast', 'family: null', /no text for the family; expected a safety text/],
    ['check-ins/cast-day.yaml', 'next: crying', 'next: cryin', /"cryin"; expected a question or an end/],
    [
      'check-ins/cast-day.yaml',
      'text: ask-toes',
      'text: ask-tos',
      /"ask-tos"; expected a text of languages\/en/,
    ],
    ['check-ins/cast-day.yaml', 'digit: 4', 'digit: 3', /the digits 1, 2, 3, 3; expected each digit once/],
    [
      'check-ins/cast-day.yaml',
      'raises: pain-over-two-hours',
      'raises: pain',
      /"pain"; expected a rule of triage.yaml/,
    ],
    ['check-ins/cast-day.yaml', 'name: cast-day', 'name: cast-mid', /"cast-mid"; expected "cast-day"/],
    [
      'languages/es/messages.yaml',
      '3 hinchados. 4 no se ven."',
      '3 hinchados."',
      /ask-toes: found no 4; expected every/,
    ],
    [
      'languages/es/messages.yaml',
      'Anotamos {hours} horas',
      'Anotamos {horas} horas',
      /\{horas\}; expected one of/,
    ],
    [
      'languages/fr/messages.yaml',
      '  greeting:',
      '  greting:',
      /greting: found a text English does not have/,
    ],
    ['languages/en/messages.yaml', 'direction: ltr', 'direction: left', /"left"; expected/],
  ])('%s: "%s" for "%s" is told', (file, from, to, wanted) => {
    edit(file, from, to);
    expect(faults().join('\n')).toMatch(wanted);
  });

  it('tells file and line of a fault', () => {
    const line = edit('triage.yaml', '    urgency: now', '    urgency: nwo');
    expect(faults()[0]).toContain(`triage.yaml:${line}: `);
    const other = edit('check-ins/cast-mid.yaml', '        next: cast', '        next: cats');
    edit('triage.yaml', '    urgency: nwo', '    urgency: now');
    expect(faults()[0]).toContain(`check-ins/cast-mid.yaml:${other}: questions.toes.answers.fine.next`);
  });

  it('tells all faults of all files at once', () => {
    edit('check-ins/cast-day.yaml', 'next: crying', 'next: cryin');
    edit('check-ins/skin-check.yaml', 'next: noted', 'next: notted');
    edit('languages/sw/messages.yaml', '{hours}', 'mengi');
    const all = faults().join('\n');
    for (const one of ['"cryin"', '"notted"', 'wear-noted: found no {hours}']) expect(all).toContain(one);
  });

  it('tells a text of three parts', () => {
    edit('languages/hi/messages.yaml', 'wear-noted: "', `wear-noted: "${'धन्यवाद '.repeat(30)}`);
    expect(faults().join('\n')).toMatch(/wear-noted: found [3-9] parts; expected at most 2/);
  });

  it('tells a listed answer that would be heard as another', () => {
    edit('check-ins/cast-day.yaml', '      colour: { digit: 2,', '      colour: { digit: 3,');
    edit('check-ins/cast-day.yaml', '      swollen: { digit: 3,', '      swollen: { digit: 2,');
    expect(faults().join('\n')).toMatch(/"blue, white or cold" \(en\), heard as|heard as "colour"/);
  });

  it('are refused in one error when they are loaded', () => {
    edit('triage.yaml', 'urgency: now', 'urgency: nwo');
    edit('triage.yaml', 'any: [cast-tight]', 'any: [cast-tihgt]');
    expect(() => loadTriage(folder)).toThrow(FlowFaults);
    expect(() => loadTriage(folder)).toThrow(/2 fault\(s\)/);
    rmSync(join(folder, 'languages'), { recursive: true });
    expect(() => loadMessages(folder)).toThrow(/found no English; expected English texts/);
  });
});
