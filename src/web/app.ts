import compression from 'compression';
import express, { type NextFunction, type Request, type Response } from 'express';
import { createViews } from '../store/views/views.js';
import { LANGUAGE_COOKIE, readCookie } from './cookies.js';
import type { Web, WebDeps } from './deps.js';
import { type Form, readForm } from './form.js';
import { healthRoutes } from './health.js';
import { hookRoutes } from './hooks.js';
import { barePage } from './layout.js';
import { mountPages } from './mount.js';
import { watchQueues } from './pages/queue/news.js';
import { pageRoutes } from './pages/routes.js';
import { SCRIPT } from './script.js';
import { securityHeaders } from './security.js';
import { signInRoutes, signOut } from './sign-in.js';
import { languageOf, type Words } from './wording.js';

/** Longest form a page takes; a pasted list of families is the longest thing anybody posts. */
const FORM_LIMIT = '2mb';

/**
 * The staff's web, the providers' webhooks and the health pages as one Express application. It listens nowhere and
 * owns nothing that must be closed.
 */
export function createWebApp(given: WebDeps): express.Express {
  const views = createViews(given.store.db);
  const deps: Web = { ...given, views, queueWatch: watchQueues(views, given.note) };
  const app = express();
  app.disable('x-powered-by');
  app.set('trust proxy', 'loopback');
  app.use(securityHeaders);
  app.use(healthRoutes(deps));
  app.use(hookRoutes(deps));
  app.use(compression({ threshold: 512 }));
  app.get('/toeline.js', (_request, response) => {
    response.set('Cache-Control', 'public, max-age=3600').type('text/javascript').send(SCRIPT);
  });
  app.use(express.text({ type: 'application/x-www-form-urlencoded', limit: FORM_LIMIT }));

  const wordsOf = (request: Request) => languageOf(deps.languages, readCookie(request, LANGUAGE_COOKIE));
  signInRoutes(app, deps, formOf, wordsOf);
  mountPages(app, deps, pageRoutes(deps), { formOf, wordsOf, signOut });
  app.get('/', (_request, response) => response.redirect(303, '/queue'));
  app.use((request: Request, response: Response) => {
    const words = wordsOf(request);
    const body = words.say('page.missing-how');
    response
      .status(404)
      .type('html')
      .send(barePage(words, words.say('page.missing'), body));
  });
  app.use((error: unknown, request: Request, response: Response, _next: NextFunction) => {
    fail(deps, wordsOf(request), error, request, response);
  });
  return app;
}

function formOf(request: Request): Form {
  return readForm(typeof request.body === 'string' ? request.body : '');
}

function fail(deps: WebDeps, words: Words, error: unknown, request: Request, response: Response): void {
  if (response.headersSent) {
    response.destroy();
    return;
  }
  const status = statusOf(error);
  if (status >= 500) deps.note(`${request.method} ${request.path} failed`, error);
  const key = status === 413 ? 'page.too-large' : status < 500 ? 'page.not-understood' : 'page.failed';
  response
    .status(status)
    .type('html')
    .send(barePage(words, words.say(key), words.say(`${key}-how`)));
}

function statusOf(error: unknown): number {
  const status = typeof error === 'object' && error !== null && 'status' in error ? error.status : 500;
  return typeof status === 'number' && status >= 400 && status < 600 ? status : 500;
}
