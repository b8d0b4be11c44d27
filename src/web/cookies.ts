import type { IncomingMessage } from 'node:http';
import { parseCookie, stringifySetCookie } from 'cookie';

export const SESSION_COOKIE = 'toeline';
/** Ties the sign-in form to the browser it was shown in, before there is a session. */
export const FORM_COOKIE = 'toeline-form';
export const LANGUAGE_COOKIE = 'toeline-language';

export function readCookie(request: IncomingMessage, name: string): string {
  return parseCookie(request.headers.cookie ?? '')[name] ?? '';
}

/** A cookie no script can read and no other site can make a browser send with a form. */
export function writeCookie(name: string, value: string, o: { isSecure: boolean; maxAge?: number }): string {
  return stringifySetCookie(name, value, {
    path: '/',
    httpOnly: true,
    sameSite: 'lax',
    secure: o.isSecure,
    ...(o.maxAge === undefined ? {} : { maxAge: o.maxAge }),
  });
}
