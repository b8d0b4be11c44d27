import { DateTime } from 'luxon';
import type { PhoneOwner } from '../../../store/views/types.js';
import type { Demo } from '../../deps.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { ClockPage } from './clock-view.js';
import { PhonePage, PhonesPage } from './phones-view.js';

export const demoRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/demo/phones', needs: 'anyone', answer: demonstrated(showPhones) },
  { method: 'GET', path: '/demo/phones/:number', needs: 'anyone', answer: demonstrated(showPhone) },
  { method: 'POST', path: '/demo/phones/:number', needs: 'anyone', answer: demonstrated(writeText) },
  { method: 'GET', path: '/demo/clock', needs: 'anyone', answer: demonstrated(showClock) },
  { method: 'POST', path: '/demo/clock', needs: 'anyone', answer: demonstrated(moveClock) },
];

function demonstrated(answer: (ask: Ask, demo: Demo) => Promise<Answer>): PageRoute['answer'] {
  return async (ask) => (ask.deps.demo === undefined ? { kind: 'missing' } : answer(ask, ask.deps.demo));
}

async function showPhones(ask: Ask, demo: Demo): Promise<Answer> {
  const find = (ask.query.get('find') ?? '').trim();
  const [phones, owners] = await Promise.all([
    demo.network.phones(),
    ask.deps.views.phoneOwners({ clinicId: ask.clinicId, find }),
  ]);
  return {
    kind: 'page',
    under: 'phones',
    title: ask.words.say('demo.phones'),
    body: PhonesPage({ ask, phones, owners, find }),
  };
}

async function showPhone(ask: Ask, demo: Demo, fault = ''): Promise<Answer> {
  const number = ask.params.number ?? '';
  if (!/^\+\d{5,15}$/.test(number)) return { kind: 'missing' };
  const owners = await ownersOf(ask, number);
  if (owners === null) return { kind: 'missing' };
  const { thread } = await demo.network.phone(number);
  return {
    kind: 'page',
    under: 'phones',
    status: fault === '' ? 200 : 400,
    title: ask.words.say('demo.phone', { number }),
    body: PhonePage({ ask, number, texts: thread, owners, fault }),
  };
}

/** Whose phone it is; empty: nobody's, which may be tried; null: only another clinic's. */
async function ownersOf(ask: Ask, number: string): Promise<readonly PhoneOwner[] | null> {
  const everywhere = await ask.deps.views.phoneOwners({ clinicId: null, find: number });
  const own = await ask.deps.views.phoneOwners({ clinicId: ask.clinicId, find: number });
  return everywhere.length > 0 && own.length === 0 ? null : own;
}

async function writeText(ask: Ask, demo: Demo): Promise<Answer> {
  const number = ask.params.number ?? '';
  if (!/^\+\d{5,15}$/.test(number)) return { kind: 'missing' };
  if ((await ownersOf(ask, number)) === null) return { kind: 'missing' };
  const body = ask.form.get('body');
  if (body === '') return showPhone(ask, demo, 'demo.empty');
  await demo.network.type(number, body);
  return { kind: 'go', to: `/demo/phones/${encodeURIComponent(number)}`, said: 'sent' };
}

async function showClock(ask: Ask): Promise<Answer> {
  const events = await ask.deps.views.comingUp({ clinicId: ask.clinicId, now: ask.now, limit: 15 });
  return {
    kind: 'page',
    under: 'clock',
    title: ask.words.say('demo.clock'),
    body: ClockPage({ ask, events }),
  };
}

async function moveClock(ask: Ask, demo: Demo): Promise<Answer> {
  const to = await destination(ask, ask.form.get('move'));
  if (to !== null && to > ask.now) await demo.moveClockTo(to);
  return { kind: 'go', to: '/demo/clock', said: 'moved' };
}

async function destination(ask: Ask, move: string): Promise<number | null> {
  const now = DateTime.fromMillis(ask.now, { zone: ask.zone });
  switch (move) {
    case 'hour':
      return now.plus({ hours: 1 }).toMillis();
    case 'day':
      return now.plus({ days: 1 }).toMillis();
    case 'morning':
      return now.plus({ days: 1 }).startOf('day').set({ hour: 8 }).toMillis();
    case 'next': {
      const [next] = await ask.deps.views.comingUp({ clinicId: null, now: ask.now, limit: 1 });
      // A second past it, so that what is due at that instant is due.
      return next === undefined ? null : next.at + 1000;
    }
    default:
      return null;
  }
}
