import type { Answer, Ask, PageRoute } from '../../page.js';
import { HandOverSheet } from './hand-over-sheet.js';
import { loadChild } from './load.js';
import { ChildPage } from './view.js';

export const childRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/children/:id', needs: 'see-children', answer: showChild },
  { method: 'GET', path: '/children/:id/hand-over', needs: 'see-children', answer: showHandOver },
];

async function showChild(ask: Ask): Promise<Answer> {
  const loaded = await loadChild(ask, 'looked-at-child');
  if (loaded === null) return { kind: 'missing' };
  const said = await ask.deps.views.saidAboutChild(loaded.row.child.id, 60);
  return {
    kind: 'page',
    under: 'children',
    title: loaded.row.child.name,
    body: ChildPage({ ask, loaded, said }),
  };
}

/** Everything a colleague needs who takes the child on, on paper. */
async function showHandOver(ask: Ask): Promise<Answer> {
  const loaded = await loadChild(ask, 'printed-hand-over');
  if (loaded === null) return { kind: 'missing' };
  const said = await ask.deps.views.saidAboutChild(loaded.row.child.id, 12);
  return {
    kind: 'page',
    under: 'children',
    title: ask.words.say('hand-over.title', { name: loaded.row.child.name }),
    body: HandOverSheet({ ask, loaded, said }),
  };
}
