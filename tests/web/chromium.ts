import { existsSync } from 'node:fs';
import { type Browser, type BrowserContext, chromium } from 'playwright-core';
import type { StaffId } from '../../src/core/model/ids.js';
import { signedIn } from './browser.js';
import type { World } from './world.js';

const PATHS = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
export const CHROMIUM = process.env.CHROMIUM ?? PATHS.find((path) => existsSync(path)) ?? '';
/** Why browser tests are skipped; empty when they run. */
export const NO_BROWSER = CHROMIUM === '' ? 'no Chromium found: install it or set CHROMIUM to its path' : '';

export function openChromium(): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM,
    headless: true,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

export interface Look {
  readonly width: number;
  readonly withScript: boolean;
  readonly isDark?: boolean;
}

/** A browser window in which this member of staff is signed in. */
export async function windowFor(
  browser: Browser,
  world: World,
  staffId: StaffId,
  look: Look,
): Promise<BrowserContext> {
  const plain = await signedIn(world, staffId);
  const context = await browser.newContext({
    baseURL: world.url,
    viewport: { width: look.width, height: look.width < 600 ? 740 : 800 },
    javaScriptEnabled: look.withScript,
    colorScheme: look.isDark === true ? 'dark' : 'light',
  });
  await context.addCookies(
    [...plain.cookies].map(([name, value]) => ({ name, value, url: world.url, httpOnly: true })),
  );
  return context;
}
