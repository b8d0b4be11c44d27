import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { NO_BROWSER, openChromium, windowFor } from './chromium.js';
import { type Staged, stage } from './stage.js';
import { startWorld, type World } from './world.js';

/** axe-core's rules for WCAG 2.2 A and AA, run in every page. */
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

async function violations(page: Page): Promise<string[]> {
  // Evaluated, not added as a script: the pages' own policy allows no script but ours.
  await page.evaluate(AXE);
  const found: { id: string; nodes: { target: string[]; html: string }[] }[] = await page.evaluate(
    `axe.run(document, { runOnly: ${JSON.stringify(RULES)} }).then((result) => result.violations)`,
  );
  return found.flatMap((one) => one.nodes.map((node) => `${one.id}: ${node.html.slice(0, 160)}`));
}

describe.skipIf(NO_BROWSER !== '')(`axe-core finds nothing ${NO_BROWSER}`, () => {
  let world: World;
  let browser: Browser;
  let staged: Staged;

  beforeAll(async () => {
    world = await startWorld({ redisUrl: inject('redisUrl') });
    staged = await stage(world);
    browser = await openChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await world?.close();
  });

  test.each([
    ['en', 'light', 360],
    ['en', 'dark', 1280],
    ['ar', 'light', 1280],
    ['ar', 'dark', 360],
  ] as const)('in %s, %s, at %i px', async (language, theme, width) => {
    await world.store.db.updateTable('staff').set({ language }).execute();
    const look = { width, withScript: true, isDark: theme === 'dark' };
    const found: Record<string, string[]> = {};
    for (const [who, pages] of [
      [staged.nurse, staged.pages],
      [staged.administrator, staged.administratorPages],
    ] as const) {
      const window = await windowFor(browser, world, who, look);
      const page = await window.newPage();
      for (const [name, path] of Object.entries(pages)) {
        expect((await page.goto(path))?.status(), path).toBe(200);
        expect(await page.locator('html').getAttribute('dir')).toBe(language === 'ar' ? 'rtl' : 'ltr');
        await page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })");
        const wrong = await violations(page);
        if (wrong.length > 0) found[name] = wrong;
      }
      await window.close();
    }
    expect(found).toEqual({});
  });
});
