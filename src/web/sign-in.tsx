import type { Request, Response, Router } from 'express';
import { useSignInLink } from '../store/staff.js';
import { FORM_COOKIE, readCookie, SESSION_COOKIE, writeCookie } from './cookies.js';
import type { WebDeps } from './deps.js';
import type { Form } from './form.js';
import { barePage } from './layout.js';
import { ownPath, sameSecret } from './security.js';
import { token } from './sessions.js';
import type { Words } from './wording.js';

const isSecure = (deps: WebDeps) => deps.config.publicUrl.startsWith('https:');

/**
 * Sign-in by a link that works once. Opening it only shows a button, because phones and mail programs open links to
 * preview them; pressing the button uses it up.
 */
export function signInRoutes(
  router: Router,
  deps: WebDeps,
  formOf: (request: Request) => Form,
  wordsOf: (request: Request) => Words,
): void {
  router.get('/sign-in', (request, response) => {
    const link = String(request.query.link ?? '');
    const to = ownPath(String(request.query.to ?? ''), '/queue');
    showForm(deps, wordsOf(request), response, { link, to, fault: '' });
  });
  router.post('/sign-in', async (request, response) => {
    const form = formOf(request);
    const words = wordsOf(request);
    const to = ownPath(form.get('to'), '/queue');
    if (!sameSecret(form.get('csrf'), readCookie(request, FORM_COOKIE))) {
      showForm(deps, words, response, { link: form.get('link'), to, fault: 'sign-in.cookies-off' });
      return;
    }
    const opened = await useSignInLink(deps.store, form.get('link'), deps.clock.now());
    if ('refused' in opened) {
      showForm(deps, words, response, { link: '', to, fault: 'sign-in.link-over' });
      return;
    }
    const session = await deps.sessions.open(opened.staff.id);
    response.append('Set-Cookie', writeCookie(SESSION_COOKIE, session.id, { isSecure: isSecure(deps) }));
    response.append('Set-Cookie', writeCookie(FORM_COOKIE, '', { isSecure: isSecure(deps), maxAge: 0 }));
    response.redirect(303, to);
  });
}

/** Ends the session here and in Redis. */
export async function signOut(deps: WebDeps, request: Request, response: Response): Promise<void> {
  await deps.sessions.close(readCookie(request, SESSION_COOKIE));
  response.append('Set-Cookie', writeCookie(SESSION_COOKIE, '', { isSecure: isSecure(deps), maxAge: 0 }));
  response.redirect(303, '/sign-in');
}

function showForm(
  deps: WebDeps,
  words: Words,
  response: Response,
  shown: { link: string; to: string; fault: string },
): void {
  const csrf = token();
  response.append('Set-Cookie', writeCookie(FORM_COOKIE, csrf, { isSecure: isSecure(deps), maxAge: 3600 }));
  const body = (
    <>
      {shown.fault === '' ? null : (
        <p class="said bad" role="alert">
          {words.say(shown.fault)}
        </p>
      )}
      {shown.link === '' ? (
        <p>{words.say('sign-in.how')}</p>
      ) : (
        <form method="post" action="/sign-in">
          <p>{words.say('sign-in.once')}</p>
          <input type="hidden" name="csrf" value={csrf} />
          <input type="hidden" name="link" value={shown.link} />
          <input type="hidden" name="to" value={shown.to} />
          <button class="main" type="submit">
            {words.say('sign-in.press')}
          </button>
        </form>
      )}
    </>
  );
  response
    .status(shown.fault === '' ? 200 : 403)
    .type('html')
    .send(barePage(words, words.say('sign-in.title'), body));
}
