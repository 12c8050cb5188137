/*
 * Looks at the room view with a made-up room, for whoever works on it:
 *   npx tsx tests/page/support/look.ts FOLDER [part of a look's name]
 * writes a screenshot of each look to the folder, and prints what axe-core finds.
 */
import { join } from 'node:path';
import { axeFindings, launch } from './browser.js';
import { madeUpRoom } from './made-up-room.js';
import { madeUpService } from './made-up-service.js';

const LOOKS = [
  { name: 'one-bright', seats: 1, width: 1100, height: 900, screen: true },
  { name: 'five-bright', seats: 5, width: 1280, height: 1000, screen: true },
  { name: 'five-dark', seats: 5, width: 1280, height: 1000, scheme: 'dark', screen: true },
  { name: 'five-narrow', seats: 5, width: 360, height: 780, screen: true, locale: 'de-DE' },
  { name: 'five-zoom', seats: 5, width: 640, height: 400, zoom: 2, screen: true },
  { name: 'class', seats: 32, width: 1366, height: 1000, basses: true },
] as const;

const [folder = '.', wanted = ''] = process.argv.slice(2);
const browser = await launch();
for (const { name, width, height, ...look } of LOOKS) {
  if (!name.includes(wanted)) continue;
  const service = await madeUpService({ state: madeUpRoom(look) });
  const context = await browser.newContext({
    viewport: { width, height },
    deviceScaleFactor: 'zoom' in look ? look.zoom : 1,
    colorScheme: 'scheme' in look ? look.scheme : 'light',
    locale: 'locale' in look ? look.locale : 'en-GB',
  });
  const page = await context.newPage();
  page.on('console', (message) => process.stdout.write(`${name}: ${message.text()}\n`));
  page.on('pageerror', (error) => process.stdout.write(`${name}: ${error.message}\n`));
  await page.goto(service.url);
  await page.waitForSelector('.tile');
  await page.waitForTimeout(1_000);
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: look.seats < 32 });
  for (const finding of await axeFindings(page)) process.stdout.write(`${name}: ${finding}\n`);
  await context.close();
  await service.close();
}
await browser.close();
