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
    await world.store.db.updateTable('staff').set({ language }).execute();
    for (const [who, pages] of [
      [nurse, staged.pages],
      [staged.administrator, staged.administratorPages],
    ] as const) {
      const context = await windowFor(browser, world, who, { width, withScript: false, isDark });
      const page = await context.newPage();
      for (const [name, path] of Object.entries(pages)) {
        const answer = await page.goto(path);
        expect(answer?.status(), path).toBe(200);
        const overflow = await page.evaluate('document.documentElement.scrollWidth - window.innerWidth');
        if (FOLDER !== undefined) {
          mkdirSync(FOLDER, { recursive: true });
          const suffix = `${isDark ? '-dark' : ''}${language === 'en' ? '' : `-${language}`}`;
          await page.screenshot({ path: join(FOLDER, `${name}-${width}${suffix}.png`), fullPage: true });
        }
        expect(overflow, `${path} at ${width} px`).toBeLessThanOrEqual(0);
      }
      await context.close();
    }
  });
});
