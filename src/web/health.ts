import { Router } from 'express';
import type { WebDeps } from './deps.js';

/**
 * `/healthz`: this process answers. `/readyz`: it can do its work, or 503 with the part that cannot. Neither says
 * anything about families.
 */
export function healthRoutes(deps: WebDeps): Router {
  const router = Router();
  router.get('/healthz', (_request, response) => {
    response.type('text').send('alive\n');
  });
  router.get('/readyz', async (_request, response) => {
    const parts = await deps.health();
    response.status(parts.every((part) => part.isWell) ? 200 : 503).json({ parts });
  });
  return router;
}
