#!/usr/bin/env node
/**
 * Takes the pictures of the README: starts the demonstration in a folder of its own, lives through an evening of it as
 * a visitor would, and photographs the pages in headless Chromium. `npm run pictures`.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { setUpOrExit } from '../deploy/setup.mjs';

setUpOrExit({ wantsBrowser: true });
const { startDemo } = await import('../dist/app/demo/demo.js');
const { readConfig } = await import('../dist/app/config.js');
const { createSignInLink } = await import('../dist/store/staff.js');

const pictures = join(import.meta.dirname, 'pictures');
const widths = { 360: 740, 1280: 800 };
const dataFolder = mkdtempSync(join(tmpdir(), 'toeline-pictures-'));
mkdirSync(pictures, { recursive: true });
const demo = await startDemo({ config: { ...readConfig({}), TOELINE_PORT: 0 }, dataFolder, io: process });
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
try {
  await liveThroughAnEvening();
  const page = await browser.newPage();
  await signIn(page);
  await take(page, 'queue', '/queue');
  await take(page, 'phones', '/demo/phones');
  await take(page, 'phone', `/demo/phones/${encodeURIComponent('+447700900001')}`);
  await page.goto(`${demo.running.address}/queue`);
  await take(page, 'flag', await page.getAttribute('a[href^="/flags/"]', 'href'));
  await page.goto(`${demo.running.address}/children`);
  await take(page, 'child', await childPath('Zuri'));
} finally {
  await browser.close();
  await demo.stop();
  rmSync(dataFolder, { recursive: true, force: true });
}

/** The evening of a day with new casts: questions go out, some families answer, one of them with danger signs. */
async function liveThroughAnEvening() {
  await demo.time.settle();
  const start = demo.clock.now();
  await demo.time.moveTo(start + 6.5 * 3_600_000);
  const answers = [
    ['+447700900016', 'twenty hours but there is a blister on her heel'],
    ['+447700900003', 'vidole viko sawa, vya joto'],
    ['+447700900007', 'todo bien, deditos rosados'],
    ['+447700900024', 'can you call me please'],
    ['+447700900001', 'his toes are blue and cold like ice'],
  ];
  for (const [number, words] of answers) {
    await demo.network.type(number, words);
    await demo.time.settle();
  }
  await demo.time.moveTo(demo.clock.now() + 4 * 60_000);
}

async function signIn(page) {
  const nurse = demo.staff.find((person) => person.role === 'nurse');
  const token = await createSignInLink(demo.running.store, nurse.id, demo.clock.now());
  await page.goto(`${demo.running.address}/sign-in?link=${token}`);
  await page.click('button[type=submit]');
  await page.waitForURL(/queue/);
}

async function childPath(name) {
  const child = await demo.running.store.db.selectFrom('child').select('id').where('given_name', '=', name).executeTakeFirstOrThrow();
  return `/children/${child.id}`;
}

async function take(page, name, path) {
  for (const [width, height] of Object.entries(widths)) {
    await page.setViewportSize({ width: Number(width), height });
    await page.goto(`${demo.running.address}${path}`);
    await page.screenshot({ path: join(pictures, `${name}-${width}.png`) });
  }
}
