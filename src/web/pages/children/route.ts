import type { Answer, Ask, PageRoute } from '../../page.js';
import { ChildrenPage } from './view.js';

const PAGE_SIZE = 40;
const PHASES = ['before', 'cast', 'tenotomy', 'brace-day', 'brace-night', 'review', 'discharged'];

export const childrenRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/children', needs: 'see-children', answer: showChildren },
];

/** Everybody of the clinic by name. `?find=`, `?phase=cast`, `?overdue=1`, `?page=2`. */
async function showChildren(ask: Ask): Promise<Answer> {
  const find = (ask.query.get('find') ?? '').trim().slice(0, 80);
  const phase = PHASES.find((one) => one === ask.query.get('phase')) ?? null;
  const isOverdue = ask.query.get('overdue') === '1';
  const page = Math.max(1, Math.floor(Number(ask.query.get('page') ?? 1)) || 1);
  const rows = await ask.deps.views.children({
    clinicId: ask.clinicId,
    find,
    phase,
    isOverdue,
    offset: (page - 1) * PAGE_SIZE,
    limit: PAGE_SIZE + 1,
  });
  return {
    kind: 'page',
    under: 'children',
    title: ask.words.say('children.title'),
    body: ChildrenPage({
      ask,
      rows: rows.slice(0, PAGE_SIZE),
      choice: { find, phase, isOverdue, page, hasMore: rows.length > PAGE_SIZE },
      phases: PHASES,
    }),
  };
}
