import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { StaffId } from '../../src/core/model/ids.js';
import { NO_BROWSER, openChromium, windowFor } from './chromium.js';
import { type Staged, stage } from './stage.js';
import { startWorld, type World } from './world.js';

/** `SCREENSHOTS=folder` keeps the pictures. */
const FOLDER = process.env.SCREENSHOTS;

describe.skipIf(NO_BROWSER !== '')(`every page at two widths ${NO_BROWSER}`, () => {
  let world: World;
  let browser: Browser;
  let nurse: StaffId;
  let staged: Staged;

  beforeAll(async () => {
    world = await startWorld({ redisUrl: inject('redisUrl') });
    staged = await stage(world);
    nurse = staged.nurse;
    browser = await openChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await world?.close();
  });

  test.each([
    [360, false, 'en'],
    [1280, false, 'en'],
    [360, true, 'en'],
    [360, false, 'ar'],
    [1280, false, 'fr'],
  ])('at %i px (dark: %s), in %s, nothing is wider than the screen', async (width, isDark, language) => {
    await world.store.db.updateTable('staff').set({ language }).where('id', '=', nurse).execute();
    const context = await windowFor(browser, world, nurse, { width, withScript: false, isDark });
    const page = await context.newPage();
    for (const [name, path] of Object.entries(staged.pages)) {
      const answer = await page.goto(path);
      expect(answer?.status(), path).toBe(200);
      const overflow = await page.evaluate('document.documentElement.scrollWidth - window.innerWidth');
      if (FOLDER !== undefined) {
        mkdirSync(FOLDER, { recursive: true });
        const file = join(
          FOLDER,
          `${name}-${width}${isDark ? '-dark' : ''}${language === 'en' ? '' : `-${language}`}.png`,
        );
        await page.screenshot({ path: file, fullPage: true });
      }
      expect(overflow, `${path} at ${width} px`).toBeLessThanOrEqual(0);
    }
    await context.close();
  });
});
