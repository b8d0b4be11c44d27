import type { StaffId } from '../../src/core/model/ids.js';
import { linkFor } from './families.js';
import type { World } from './world.js';

/** A browser without JavaScript, reduced to what HTTP needs: cookies, forms, no following of redirects. */
export class PlainBrowser {
  readonly cookies = new Map<string, string>();
  constructor(private readonly base: string) {}

  async get(path: string): Promise<Page> {
    return this.#ask(path, { method: 'GET' });
  }

  /** Posts a form. Without `csrf` the token of the page last seen is sent. */
  async post(path: string, fields: Record<string, string>, page?: Page): Promise<Page> {
    const csrf = fields.csrf ?? page?.csrf ?? '';
    const body = new URLSearchParams({ ...fields, csrf });
    return this.#ask(path, {
      method: 'POST',
      body: body.toString(),
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
    });
  }

  async #ask(path: string, init: RequestInit): Promise<Page> {
    const cookie = [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
    const answer = await fetch(`${this.base}${path}`, {
      redirect: 'manual',
      ...init,
      headers: { ...(init.headers as Record<string, string>), cookie },
    });
    for (const set of answer.headers.getSetCookie()) {
      const [pair = ''] = set.split(';');
      const at = pair.indexOf('=');
      if (/max-age=0/i.test(set)) this.cookies.delete(pair.slice(0, at));
      else this.cookies.set(pair.slice(0, at), pair.slice(at + 1));
    }
    const html = await answer.text();
    return {
      status: answer.status,
      html,
      text: html
        .replace(/<style>.*?<\/style>/s, '')
        .replace(/<[^>]+>/g, ' ')
        .replace(/\s+/g, ' '),
      to: answer.headers.get('location') ?? '',
      csrf: /name="csrf" value="([^"]+)"/.exec(html)?.[1] ?? '',
      headers: answer.headers,
    };
  }
}

export interface Page {
  readonly status: number;
  readonly html: string;
  readonly text: string;
  readonly to: string;
  readonly csrf: string;
  readonly headers: Headers;
}

/** Signs a member of staff in by a link, as the button of the sign-in page does. */
export async function signedIn(world: World, staffId: StaffId): Promise<PlainBrowser> {
  const browser = new PlainBrowser(world.url);
  const link = await linkFor(world, staffId);
  const page = await browser.get(`/sign-in?link=${link}`);
  const answer = await browser.post('/sign-in', { link, to: '/queue' }, page);
  if (answer.status !== 303) throw new Error(`sign-in answered ${answer.status}: ${answer.text}`);
  return browser;
}
