/*
 * Looks at the seat view with a made-up room, for whoever works on it:
 *   npx tsx tests/page/seat/look.ts FOLDER [part of a look's name]
 * writes a screenshot of each look to the folder, and prints what axe-core finds, how many frames a
 * second there are, and how much of a core the page's main thread takes.
 */
import { join } from 'node:path';
import type { BrowserContextOptions, CDPSession } from 'playwright-core';
import type { PageGuide, PageState } from '../../../src/page/link/state.js';
import { axeFindings, launch } from '../support/browser.js';
import { MadeUpRoom } from './made-up-room.js';

const bright = { viewport: { width: 1280, height: 900 }, colorScheme: 'light' } as const;
const narrow = { viewport: { width: 360, height: 740 } } as const;
const steps: PageGuide = {
  guide: 'wire',
  seat: 0,
  phase: 'touching',
  words: 'Touch: A1 fret 3 (7 of 20)',
  asked: 10,
  done: [0, 4, 8, 12, 16, 2],
  order: [...Array(20).keys()],
  unfit: [],
  file: null,
};
const end: PageGuide = {
  ...steps,
  phase: 'done',
  words: '19 of 20 pads are wired',
  asked: null,
  unfit: [{ pad: 3, what: 'no touch was seen on it', next: 'Look for a broken joint.' }],
  file: 'builds/north.json',
};
const recording = {
  seat: 0,
  file: 'recordings/north-3.jsonl.gz',
  since: Date.now(),
  scans: 15_344,
};

const LOOKS: readonly [string, BrowserContextOptions, (state: PageState) => Partial<PageState>][] =
  [
    ['bright', bright, () => ({})],
    ['dark', { ...bright, colorScheme: 'dark' }, () => ({ guide: steps, recording })],
    ['narrow', narrow, () => ({ guide: steps })],
    ['narrow-end', { ...narrow, locale: 'de-DE' }, () => ({ guide: end })],
    [
      'zoom',
      { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 },
      ({ seats: [first, ...others] }) => ({ seats: [{ ...first!, plugged: 'lost' }, ...others] }),
    ],
  ];

const [folder = '.', wanted = ''] = process.argv.slice(2);
const browser = await launch();
const say = (words: string): void => void process.stdout.write(`${words}\n`);
for (const [name, options, change] of LOOKS) {
  if (!name.includes(wanted)) continue;
  const room = new MadeUpRoom();
  Object.assign(room.state, change(room.state));
  const url = await room.serve();
  const context = await browser.newContext({ locale: 'en-GB', ...options });
  const page = await context.newPage();
  page.on('console', (message) => say(`${name}: ${message.text()}`));
  page.on('pageerror', (error) => say(`${name}: ${error.message}`));
  await page.goto(`${url}#/seat/north`);
  await page.waitForSelector('.seat-view');
  if (name === 'bright') {
    // A change, a fault, and a value that was tried.
    room.refuse.set('try', 'touch.off: found 0.4, allowed: a level below touch.on, which is 0.2');
    const { rules } = room.state.seats[0]!;
    room.change(0, { rules: { ...rules, tried: ['touch.lift'] } });
    await page.getByLabel('A touch may end under').fill('0.4');
    await page.getByRole('button', { name: 'Try' }).click();
  }
  await page.waitForTimeout(3_000);
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
  const session = await context.newCDPSession(page);
  const before = await busy(session);
  const frames = await page.evaluate(`new Promise((done) => {
    let count = 0;
    const begun = performance.now();
    const next = (now) => {
      if (now - begun > 4000) done(count / 4);
      else { count++; requestAnimationFrame(next); }
    };
    requestAnimationFrame(next);
  })`);
  const share = Math.round(((await busy(session)) - before) * 25);
  say(`${name}: ${String(frames)} frames a second, ${String(share)} % of a core`);
  for (const finding of await axeFindings(page)) say(`${name}: ${finding}`);
  await context.close();
  await room.close();
}
await browser.close();

/** How long the page's main thread has been busy, in s. */
async function busy(session: CDPSession): Promise<number> {
  await session.send('Performance.enable');
  const { metrics } = await session.send('Performance.getMetrics');
  return metrics.find(({ name }) => name === 'TaskDuration')?.value ?? 0;
}
