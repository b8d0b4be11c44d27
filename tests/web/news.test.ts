import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { NO_BROWSER, openChromium, windowFor } from './chromium.js';
import { clinicIn, familyIn, flagFor, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

describe.skipIf(NO_BROWSER !== '')(`an open queue ${NO_BROWSER}`, () => {
  let world: World;
  let browser: Browser;

  beforeAll(async () => {
    world = await startWorld({ redisUrl: inject('redisUrl') });
    browser = await openChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await world?.close();
  });

  async function openQueue(name: string) {
    const clinic = await clinicIn(world, name);
    const family = await familyIn(world, clinic, name);
    const nurse = await staffIn(world, clinic);
    const window = await windowFor(browser, world, nurse, { width: 1280, withScript: true });
    return { family, window, page: await window.newPage() };
  }

  test('shows a new flag by itself and counts NOW in the title', async () => {
    const { family, window, page } = await openQueue('Live');
    await page.goto('/queue');
    expect(await page.title()).toBe('Queue · toeline');
    await flagFor(world, family, { text: 'toes are blue', signs: [['toes-discoloured', 'blue']] });
    await page.locator('#queue mark').waitFor({ timeout: 10_000 });
    expect(await page.locator('#queue mark').textContent()).toBe('blue');
    expect(await page.title()).toBe('(1) Queue · toeline');
    await window.close();
  });

  test('asks every 20 seconds where events do not come through', async () => {
    const { family, window, page } = await openQueue('Poll');
    await page.clock.install();
    await page.route(
      (url) => url.pathname === '/queue/news' && url.search === '',
      (route) => route.abort(),
    );
    await page.goto('/queue');
    await flagFor(world, family, { text: 'toes are blue', signs: [['toes-discoloured', 'blue']] });
    await expect
      .poll(async () => {
        await page.clock.fastForward(20_000);
        return page.locator('#queue mark').count();
      })
      .toBe(1);
    await window.close();
  });

  test('does not move the list under a nurse who is in it, and says that it has changed', async () => {
    const { family, window, page } = await openQueue('Busy');
    await flagFor(world, family, {
      text: 'bad smell',
      signs: [['smell', 'smell']],
      urgency: 'today',
      matter: 'infection',
    });
    await page.goto('/queue');
    await page.getByRole('link', { name: 'Open', exact: true }).focus();
    await flagFor(world, family, { text: 'toes are blue', signs: [['toes-discoloured', 'blue']] });
    await page.getByRole('link', { name: 'The queue has changed. Show it.' }).waitFor({ timeout: 10_000 });
    expect(await page.locator('#queue > li').count()).toBe(1);
    await window.close();
  });
});
