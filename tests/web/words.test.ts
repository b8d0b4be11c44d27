import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { FLAG_OUTCOMES, MATTERS } from '../../src/core/model/flag.js';
import { INTENTS, SIGNS } from '../../src/core/model/signs.js';
import { TEXT_STATES } from '../../src/core/model/texts.js';
import { loadStaffLanguages } from '../../src/flows/staff-languages.js';
import { FLAG_EVENT_KINDS } from '../../src/store/tables.js';
import { ROLES } from '../../src/web/roles.js';
import { ROOT } from './world.js';

const FOLDER = join(ROOT, 'flows', 'staff-languages');
const languages = loadStaffLanguages(FOLDER);
const english = languages.find((language) => language.code === 'en');

test('every sentence the pages ask for stands in English', () => {
  const files = readdirSync(join(ROOT, 'src', 'web'), { recursive: true, encoding: 'utf8' });
  const asked = files
    .filter((file) => /\.tsx?$/.test(file))
    .flatMap((file) => [
      ...readFileSync(join(ROOT, 'src', 'web', file), 'utf8').matchAll(/say\(\s*'([a-z-]+\.[a-z0-9-]+)'/g),
    ])
    .map((match) => match[1] ?? '');
  expect(asked.length).toBeGreaterThan(60);
  expect([...new Set(asked)].filter((key) => english?.words[key] === undefined)).toEqual([]);
});

test('every word of the closed lists has a name for people', () => {
  const wanted = [
    ...SIGNS.map((sign) => `sign.${sign}`),
    ...INTENTS.map((intent) => `intent.${intent}`),
    ...MATTERS.map((matter) => `matter.${matter}`),
    ...FLAG_OUTCOMES.map((outcome) => `outcome.${outcome}`),
    ...FLAG_EVENT_KINDS.map((kind) => `happened.${kind}`),
    ...TEXT_STATES.map((state) => `text-out.${state}`),
    ...ROLES.map((role) => `role.${role}`),
  ];
  expect(wanted.filter((key) => english?.words[key] === undefined)).toEqual([]);
});

test('a language that no one has reviewed says so', () => {
  for (const language of languages) {
    expect(language.review, language.code).not.toBe('reviewed');
  }
});

test('faults of a language file are told all at once, with file and line', () => {
  const folder = mkdtempSync(join(tmpdir(), 'toeline-words-'));
  writeFileSync(
    join(folder, 'en.yaml'),
    "code: en\nname: English\ndirection: ltr\nreview: reviewed\nwords:\n  a:\n    b: 'Hello {name}'\n",
  );
  writeFileSync(
    join(folder, 'fr.yaml'),
    "code: fr\nname: Français\ndirection: ltr\nreview: draft\nwords:\n  a:\n    b: 'Bonjour {nom}'\n    c: Quoi\n",
  );
  writeFileSync(
    join(folder, 'xx.yaml'),
    'code: xx\nname: X\ndirection: sideways\nreview: draft\nwords: {}\n',
  );
  expect(() => loadStaffLanguages(folder)).toThrowError(
    /xx\.yaml:3: direction[\s\S]*fr\.yaml: a\.b leaves out \{name\}[\s\S]*has \{nom\}[\s\S]*a\.c is no sentence/,
  );
});

test('French, Swahili and Arabic have every sentence of the pages, those of the demonstration aside', () => {
  const wanted = Object.keys(english?.words ?? {}).filter(
    (key) => !key.startsWith('demo.') && !/^said\.(sent|moved)$/.test(key),
  );
  for (const code of ['fr', 'sw', 'ar']) {
    const words = languages.find((language) => language.code === code)?.words ?? {};
    expect({ code, missing: wanted.filter((key) => words[key] === undefined) }).toEqual({
      code,
      missing: [],
    });
  }
});
