import type { Express, Request, Response } from 'express';
import { readCookie, SESSION_COOKIE } from './cookies.js';
import type { Web } from './deps.js';
import type { Form } from './form.js';
import { barePage, staffPage } from './layout.js';
import type { Answer, Ask, PageRoute } from './page.js';
import { may, type Role } from './roles.js';
import { ownPath, sameSecret } from './security.js';
import type { Session } from './sessions.js';
import { languageOf, type Words } from './wording.js';

interface Tools {
  readonly formOf: (request: Request) => Form;
  readonly wordsOf: (request: Request) => Words;
  readonly signOut: (deps: Web, request: Request, response: Response) => Promise<void>;
}

/**
 * Puts every page behind the same four doors: a session, a member of staff who is still active, the permission the
 * page names, and for a form the token of this session.
 */
export function mountPages(app: Express, deps: Web, routes: readonly PageRoute[], tools: Tools): void {
  const built = new Set(routes.filter((r) => r.method === 'GET').map((r) => r.path));
  for (const route of routes) {
    const handle = async (request: Request, response: Response) => {
      const ask = await admit(deps, route, request, response, tools);
      if (ask !== null) send(ask, await route.answer(ask), response, built);
    };
    if (route.method === 'GET') app.get(route.path, handle);
    else app.post(route.path, handle);
  }
  app.post('/sign-out', async (request, response) => {
    const session = await deps.sessions.find(readCookie(request, SESSION_COOKIE));
    if (session !== null && !sameSecret(tools.formOf(request).get('csrf'), session.csrf)) {
      refuse(tools.wordsOf(request), response, 'page.form-old');
      return;
    }
    await tools.signOut(deps, request, response);
  });
}

async function admit(
  deps: Web,
  route: PageRoute,
  request: Request,
  response: Response,
  tools: Tools,
): Promise<Ask | null> {
  const session = await deps.sessions.find(
    readCookie(request, SESSION_COOKIE),
    route.isBackground === true || request.headers['x-by-script'] === 'yes',
  );
  const staff = session === null ? null : await deps.views.activeStaff(session.staffId);
  if (session === null || staff === null) {
    const to =
      request.method === 'GET' ? `?to=${encodeURIComponent(ownPath(request.originalUrl, '/queue'))}` : '';
    response.redirect(303, `/sign-in${to}`);
    return null;
  }
  const words = languageOf(deps.languages, staff.language);
  const form = tools.formOf(request);
  if (route.needs !== 'anyone' && !may(staff.role as Role, route.needs)) {
    refuse(words, response, 'page.not-for-you');
    return null;
  }
  if (route.method === 'POST' && !sameSecret(form.get('csrf'), session.csrf)) {
    refuse(words, response, 'page.form-old');
    return null;
  }
  return toAsk(deps, request, { session, staff, words, form });
}

function toAsk(
  deps: Web,
  request: Request,
  who: { session: Session; staff: Ask['staff']; words: Words; form: Form },
): Ask {
  return {
    deps,
    staff: who.staff,
    clinicId: who.staff.clinicId,
    words: who.words,
    now: deps.clock.now(),
    zone: who.staff.timeZone ?? 'UTC',
    path: request.method === 'GET' ? request.originalUrl : '/',
    params: request.params as Record<string, string>,
    query: new URL(request.originalUrl, 'http://local').searchParams,
    form: who.form,
    csrf: who.session.csrf,
  };
}

function refuse(words: Words, response: Response, key: string): void {
  response
    .status(403)
    .type('html')
    .send(barePage(words, words.say(key), words.say(`${key}-how`)));
}

function send(ask: Ask, answer: Answer, response: Response, built: ReadonlySet<string>): void {
  switch (answer.kind) {
    case 'page':
      response
        .status(answer.status ?? 200)
        .type('html')
        .send(staffPage(ask, answer, built));
      return;
    case 'go': {
      const to = new URL(ownPath(answer.to, '/queue'), 'http://local');
      if (answer.said !== undefined) to.searchParams.set('said', answer.said);
      response.redirect(303, `${to.pathname}${to.search}${to.hash}`);
      return;
    }
    case 'news':
      sendNews(answer.begin, response);
      return;
    case 'data':
      response.json(answer.value);
      return;
    case 'text':
      response.type('text').send(answer.body);
      return;
    case 'file':
      response.type(answer.type).attachment(answer.name).send(answer.body);
      return;
    case 'missing':
      response
        .status(404)
        .type('html')
        .send(barePage(ask.words, ask.words.say('page.missing'), ask.words.say('page.missing-how')));
  }
}

/** Server-sent events (HTML Living Standard, section 9.2). Ended after ten minutes so that the doors are passed anew. */
function sendNews(begin: (tell: (value: unknown) => void) => () => void, response: Response): void {
  // no-transform: a compressor would hold events back.
  response.set({ 'Content-Type': 'text/event-stream', 'Cache-Control': 'no-store, no-transform' });
  response.write('retry: 5000\n\n');
  const stop = begin((value) => response.write(`data: ${JSON.stringify(value)}\n\n`));
  const end = setTimeout(() => response.end(), 600_000);
  response.on('close', () => {
    clearTimeout(end);
    stop();
  });
}
