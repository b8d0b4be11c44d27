import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sayFlowFault } from '../../src/flows/fault.js';
import { checkProtocols, loadProtocols, readProtocols } from '../../src/flows/protocols.js';
import { FLOWS } from '../core/course/example-children.js';

const standard = readFileSync(join(FLOWS, 'protocols/standard.yaml'), 'utf8');
const faultsIn = (files: Record<string, string>) =>
  readProtocols(new Map(Object.entries(files))).faults.map(sayFlowFault);
const faultsAfter = (from: string | RegExp, to: string) => {
  const changed = standard.replace(from, to);
  if (changed === standard) throw new Error(`"${String(from)}" is not in the file`);
  return faultsIn({ standard: changed });
};
const like = (name: string, base: string) =>
  `name: ${name}\nlike: ${base}\ntitle: one that is like another\nreview: nobody has reviewed it\n`;
const lineOf = (text: string) => standard.slice(0, standard.indexOf(text)).split('\n').length;

describe('protocol files', () => {
  it('that ship have no fault, and each is known by the name of its file', () => {
    expect(checkProtocols(FLOWS).map(sayFlowFault)).toEqual([]);
    const files = readdirSync(join(FLOWS, 'protocols')).filter((name) => name.endsWith('.yaml'));
    expect([...loadProtocols(FLOWS).protocols.keys()].sort()).toEqual(
      files.map((name) => name.replace('.yaml', '')).sort(),
    );
  });

  it('a wrong value is told with its line, what was found and what was expected', () => {
    const line = lineOf('    days: 7\n');
    expect(faultsAfter('    days: 7\n', '    days: seven\n')).toEqual([
      `protocols/standard.yaml:${line}: casting.interval.days: found "seven"; expected whole days`,
    ]);
  });

  it('an unknown key, a number without a source and a misspelt phase are told together', () => {
    const changed = standard
      .replace('days: 21\n', 'dayz: 21\n')
      .replace('phase: brace-night', 'phase: night')
      .replace(/\n {4}source: "clubfootponseti.com, treatment phase"/, '');
    const faults = faultsIn({ standard: changed }).join('\n');
    expect(faults).toContain('lastCast.stay.dayz: found an unknown key');
    expect(faults).toContain('lastCast.stay.days: found nothing');
    expect(faults).toContain(
      'brace.steps[1].phase: found "night"; expected brace-day (full-time) or brace-night',
    );
    expect(faults).toContain('casting.abductionPerCast.source: found nothing');
  });

  it.each([
    [
      'a window as wide as the interval',
      'window: { before: 3, after: 3 }',
      'window: { before: 7, after: 3 }',
      'less than the interval',
    ],
    [
      'a length in two units',
      'lasts: { months: 3 }',
      'lasts: { months: 3, days: 1 }',
      'exactly one of days, weeks, months, years',
    ],
    ['a step without an end', '      lasts: { months: 3 }\n', '', 'exactly one of "lasts" and "untilAge"'],
    [
      'more hours by night than by day',
      '{ from: 12, to: 14 }',
      '{ from: 12, to: 24 }',
      'not more than the step before',
    ],
    [
      'a repeated visit without an end',
      '      untilAge: { years: 3 }\n',
      '',
      'an age at which a repeated visit ends',
    ],
    ['a text of an unknown kind', 'kind: cast-mid', 'kind: cast-middle', 'texts[5].kind'],
    ['a name that is not the file’s', 'name: standard', 'name: other', 'the name of the file, standard'],
    ['a clock time that is none', 'at: "18:00"', 'at: "6 pm"', 'a clock time "HH:MM"'],
    ['broken YAML', 'casting:\n', 'casting: {\n', 'YAML that can be read'],
    ['a key given twice', 'dropout:\n', 'dropout:\n  castingDays: 20\n', 'YAML that can be read'],
  ])('%s is refused with its line', (_what, from, to, words) => {
    const faults = faultsAfter(from, to);
    expect(faults.join('\n')).toContain(words);
    for (const fault of faults) expect(fault).toMatch(/^protocols\/standard\.yaml:\d+: /);
  });

  it('a file may be like another and change single blocks', () => {
    const own =
      'name: three-years\nlike: standard\ntitle: As standard, three years\nreview: nobody has reviewed it\n';
    const { protocols, faults } = readProtocols(
      new Map([
        ['three-years', own],
        ['standard', standard],
      ]),
    );
    expect(faults).toEqual([]);
    expect(protocols.get('three-years')?.casting).toEqual(protocols.get('standard')?.casting);
    expect(protocols.get('three-years')?.title).toBe('As standard, three years');
  });

  it.each([
    [
      'one that does not exist',
      { a: like('a', 'b'), standard },
      'protocols/a.yaml:2: like: found b; expected one of standard',
    ],
    ['itself', { a: like('a', 'a'), standard }, 'like: found a; expected one of standard'],
    [
      'one that is like it',
      { a: like('a', 'b'), b: like('b', 'a') },
      'a protocol that is not itself like this one',
    ],
    [
      'one with faults',
      { a: like('a', 'standard'), standard: standard.replace('name: standard', 'name: x') },
      'a protocol without faults of its own',
    ],
    [
      'nothing, though blocks are missing',
      { a: like('a', 'b').replace('like: b\n', '') },
      'texts: found nothing',
    ],
  ])('a file that is like %s is refused', (_what, files, words) => {
    expect(faultsIn(files).join('\n')).toContain(words);
  });

  it('a folder without protocols says so', () => {
    expect(checkProtocols('/nowhere').map(sayFlowFault)[0]).toContain('no folder "protocols" in /nowhere');
  });
});
