import type { WebDeps } from '../deps.js';
import type { PageRoute } from '../page.js';
import { childRoutes } from './child/route.js';
import { childrenRoutes } from './children/route.js';
import { demoRoutes } from './demo/route.js';
import { enrolRoutes } from './enrol/route.js';
import { flagRoutes } from './flag/route.js';
import { importRoutes } from './import/route.js';
import { languageRoutes } from './language/route.js';
import { programmeRoutes } from './programme/route.js';
import { queueRoutes } from './queue/route.js';
import { setUpRoutes } from './set-up/route.js';
import { staffRoutes } from './staff/route.js';
import { tryRoutes } from './try/route.js';
import { visitRoutes } from './visit/route.js';

/** Every page and form of the staff's web. The demonstration's pages exist only in a demonstration. */
export function pageRoutes(deps: Pick<WebDeps, 'demo'>): readonly PageRoute[] {
  return [
    ...queueRoutes,
    ...flagRoutes,
    ...childrenRoutes,
    ...childRoutes,
    ...visitRoutes,
    ...enrolRoutes,
    ...importRoutes,
    ...tryRoutes,
    ...programmeRoutes,
    ...setUpRoutes,
    ...staffRoutes,
    ...languageRoutes,
    ...(deps.demo === undefined ? [] : demoRoutes),
  ];
}
