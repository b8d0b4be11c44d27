import { ASKED, READING_PHASES } from '../../../core/model/signs.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { FAMILY_LANGUAGES } from '../enrol/fields.js';
import { partsWords } from '../flag/reply.js';
import { type Tried, tryText } from './trial.js';
import { TryPage } from './view.js';

export const tryRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/try', needs: 'see-flags', answer: (ask) => show(ask, null) },
  { method: 'POST', path: '/try', needs: 'see-flags', answer: readIt },
  { method: 'POST', path: '/parts', needs: 'act-on-flags', answer: countParts },
];

function show(ask: Ask, tried: Tried | null): Promise<Answer> {
  return Promise.resolve({
    kind: 'page',
    under: 'try',
    title: ask.words.say('try.title'),
    body: TryPage({ ask, tried }),
  });
}

/** Reads the text as the worker would. Nothing is stored and nobody is texted. */
async function readIt(ask: Ask): Promise<Answer> {
  const text = (ask.form.fields.get('text') ?? '').slice(0, 2000);
  if (text.trim() === '') return show(ask, null);
  const [clinic] = await ask.deps.views.clinics(ask.clinicId);
  const tried = tryText(ask.deps.core, {
    text,
    language: FAMILY_LANGUAGES.find((code) => code === ask.form.get('language')) ?? 'en',
    phase: READING_PHASES.find((one) => one === ask.form.get('phase')) ?? 'cast',
    asked: ASKED.find((one) => one === ask.form.get('asked')) ?? 'open',
    clinic: {
      name: clinic?.name ?? 'toeline',
      timeZone: clinic?.timeZone ?? ask.zone,
      callNumber: clinic?.callNumber ?? '',
      emergencyNumber: clinic?.emergencyNumber ?? '',
      sendingFrom: clinic?.sendingFrom ?? '08:00',
      sendingTo: clinic?.sendingTo ?? '20:00',
    },
    now: ask.now,
  });
  return show(ask, tried);
}

async function countParts(ask: Ask): Promise<Answer> {
  return { kind: 'text', body: partsWords(ask.form.get('body'), ask.words) };
}
