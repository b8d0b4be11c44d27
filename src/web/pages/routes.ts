import type { WebDeps } from '../deps.js';
import type { PageRoute } from '../page.js';
import { demoRoutes } from './demo/route.js';
import { flagRoutes } from './flag/route.js';
import { queueRoutes } from './queue/route.js';

/** Every page and form of the staff's web. The demonstration's pages exist only in a demonstration. */
export function pageRoutes(deps: Pick<WebDeps, 'demo'>): readonly PageRoute[] {
  return [...queueRoutes, ...flagRoutes, ...(deps.demo === undefined ? [] : demoRoutes)];
}
