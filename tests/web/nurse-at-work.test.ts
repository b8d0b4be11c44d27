import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { NO_BROWSER, openChromium, windowFor } from './chromium.js';
import { clinicIn, familyIn, flagFor, staffIn } from './families.js';
import { startWorld, type World } from './world.js';

describe.skipIf(NO_BROWSER !== '')(`in a real browser ${NO_BROWSER}`, () => {
  let world: World;
  let browser: Browser;

  beforeAll(async () => {
    world = await startWorld({ redisUrl: inject('redisUrl') });
    world.work();
    browser = await openChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await world?.close();
  });

  test.each([
    [360, false],
    [1280, true],
  ])(
    'two browsers race for one flag at %i px (JavaScript: %s): one wins, the other is told',
    async (width, withScript) => {
      const clinic = await clinicIn(world, `Race ${width}`);
      const family = await familyIn(world, clinic, `Okello${width}`);
      await flagFor(world, family, { text: 'toes are blue', signs: [['toes-discoloured', 'blue']] });
      const look = { width, withScript };
      const one = await windowFor(browser, world, await staffIn(world, clinic, 'Amina'), look);
      const two = await windowFor(browser, world, await staffIn(world, clinic, 'Brian'), look);
      const [a, b] = [await one.newPage(), await two.newPage()];
      await a.goto('/queue');
      await b.goto('/queue');
      expect(await a.locator('mark').first().textContent()).toBe('blue');
      await Promise.all([
        a.getByRole('button', { name: 'Take' }).click(),
        b.getByRole('button', { name: 'Take' }).click(),
      ]);
      await Promise.all([a.waitForSelector('.said'), b.waitForSelector('.said')]);
      const texts = [await a.locator('main').textContent(), await b.locator('main').textContent()];
      expect(texts.filter((text) => text?.includes('You have taken this flag.'))).toHaveLength(1);
      expect(texts.filter((text) => text?.includes('was faster and has taken this flag'))).toHaveLength(1);
      await one.close();
      await two.close();
    },
  );

  test.each([
    [360, false],
    [1280, true],
  ])(
    'a phone replies "toes are blue and cold" and the queue shows it first with those words marked, at %i px (JavaScript: %s)',
    async (width, withScript) => {
      const clinic = await clinicIn(world, `Phones ${width}`);
      const mild = await familyIn(world, clinic, 'Mild');
      await flagFor(world, mild, {
        text: 'bad smell',
        signs: [['smell', 'smell']],
        urgency: 'today',
        matter: 'infection',
      });
      const family = await familyIn(world, clinic, `Phoned${width}`);
      const nurse = await staffIn(world, clinic);
      const window = await windowFor(browser, world, nurse, { width, withScript });
      const page = await window.newPage();
      await page.goto('/demo/phones');
      await page.getByRole('link', { name: `Mother of Phoned${width}` }).click();
      await page.getByLabel('Write from this phone').fill('toes are blue and cold');
      await page.getByRole('button', { name: 'Send', exact: true }).click();
      await expect
        .poll(
          async () => {
            await page.goto('/queue');
            return page.locator('#queue > li').first().textContent();
          },
          { timeout: 15_000 },
        )
        .toContain(`Phoned${width} Test`);
      const first = page.locator('#queue > li').first();
      expect(await first.locator('mark').allTextContents()).toEqual(['toes are blue', 'cold']);
      expect(await first.locator('.tag').textContent()).toBe('NOW');
      await page.goto(`/demo/phones/${encodeURIComponent(family.number)}`);
      await expect
        .poll(
          async () => {
            await page.reload();
            return page.locator('main').textContent();
          },
          { timeout: 15_000 },
        )
        .toMatch(/NOW/);
      await window.close();
    },
  );
});
