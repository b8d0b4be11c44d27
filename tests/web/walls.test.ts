import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { StaffId } from '../../src/core/model/ids.js';
import type { PageRoute } from '../../src/web/page.js';
import { pageRoutes } from '../../src/web/pages/routes.js';
import { may, ROLES, type Role } from '../../src/web/roles.js';
import { PlainBrowser, signedIn } from './browser.js';
import { clinicIn, type Family, familyIn, flagFor, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

/** Generated from the table of all addresses: a page that is added is in here without anybody thinking of it. */
const inDemonstration = { demo: { network: {}, moveClockTo: () => Promise.resolve() } } as never;
const routes = pageRoutes(inDemonstration);

let world: World;
let family: Family;
let flag: string;
let event: string;
let colleague: string;
const own = new Map<Role, PlainBrowser>();
const other = new Map<Role, PlainBrowser>();
const tokens = new Map<PlainBrowser, string>();

beforeAll(async () => {
  world = await startWorld({ redisUrl: inject('redisUrl') });
  const clinic = await clinicIn(world);
  const stranger = await clinicIn(world, 'Other clinic');
  family = await familyIn(world, clinic, 'Walled');
  flag = await flagFor(world, family, { text: 'toes cold', signs: [['toes-cold', 'cold']] });
  const row = await world.store.db
    .selectFrom('course_event')
    .select('id')
    .where('child_id', '=', family.childId)
    .executeTakeFirstOrThrow();
  event = row.id;
  colleague = await staffIn(world, clinic, 'Colleague');
  for (const role of ROLES) {
    own.set(role, await enter(await staffIn(world, clinic, `Own ${role}`, role)));
    other.set(role, await enter(await staffIn(world, stranger, `Other ${role}`, role)));
  }
});
afterAll(() => world.close());

async function enter(staffId: StaffId): Promise<PlainBrowser> {
  const browser = await signedIn(world, staffId);
  const stored = await world.redis.get(`session:${browser.cookies.get('toeline')}`);
  tokens.set(browser, JSON.parse(stored ?? '{}').csrf);
  return browser;
}

/** The address with this family's ids in it. */
function addressOf(route: PageRoute): string {
  const id = route.path.startsWith('/flags') ? flag : family.childId;
  return route.path
    .replace(':id', id)
    .replace(':event', event)
    .replace(':staff', colleague)
    .replace(':number', encodeURIComponent(family.number));
}

function ask(browser: PlainBrowser, route: PageRoute, csrf = tokens.get(browser) ?? '') {
  const path = route.path === '/queue/news' ? '/queue/news?once=1' : addressOf(route);
  return route.method === 'GET' ? browser.get(path) : browser.post(path, { csrf });
}

describe.each(routes.map((route) => [`${route.method} ${route.path}`, route] as const))(
  '%s',
  (_name, route) => {
    test('leads whoever is not signed in to sign-in', async () => {
      const answer = await ask(new PlainBrowser(world.url), route);
      expect(answer.status).toBe(303);
      expect(answer.to).toMatch(/^\/sign-in/);
    });

    test.each(ROLES)('opens to a %s exactly as the table of roles says', async (role) => {
      const browser = own.get(role);
      if (browser === undefined) throw new Error(`nobody is a ${role}`);
      const answer = await ask(browser, route);
      const mayIt = route.needs === 'anyone' || may(role, route.needs);
      if (mayIt) expect(answer.status, answer.text).not.toBe(403);
      else expect(answer.status).toBe(403);
      expect(answer.status, answer.text).not.toBe(500);
    });

    if (/:(id|number)/.test(route.path))
      test('is no such page to every role of another clinic', async () => {
        for (const [role, browser] of other) {
          const answer = await ask(browser, route);
          const mayIt = route.needs === 'anyone' || may(role, route.needs);
          expect(answer.status, role).toBe(mayIt ? 404 : 403);
          expect(answer.text).not.toContain('Walled');
        }
      });

    if (route.method === 'POST')
      test('refuses a form without the token of the session', async () => {
        for (const [, browser] of own) {
          expect((await ask(browser, route, 'guessed')).status).toBe(403);
        }
      });

    if (route.method === 'GET' && !route.path.includes(':'))
      test('shows another clinic nothing of the family', async () => {
        for (const [, browser] of other) {
          const answer = await ask(browser, route);
          expect(answer.html).not.toContain('Walled');
          expect(answer.html).not.toContain(family.number);
        }
      });
  },
);

test('the table knows every page: nothing that asks for a family is open to anyone', () => {
  expect(routes.length).toBeGreaterThan(20);
  const open = routes.filter((route) => route.needs === 'anyone').map((route) => route.path);
  expect(open.every((path) => path.startsWith('/demo/') || path === '/language')).toBe(true);
});
