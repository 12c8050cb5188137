import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Browser, BrowserContextOptions } from 'playwright-core';
import { launch } from './support/browser.js';
import { framesOver, type Frames } from './support/frames.js';
import { madeUpRoom } from './support/made-up-room.js';
import { madeUpService, type MadeUpService } from './support/made-up-service.js';

/*
 * A class of 32 basses of 20 pads, every pad and note of which moves: how often the page is painted. The
 * bound is issue 6's: at least 50 frames a second on two cores, with a service beside it.
 */

let browser: Browser;
let service: MadeUpService;

beforeAll(async () => {
  browser = await launch();
  service = await madeUpService({ state: madeUpRoom({ seats: 32, basses: true }), rate: 30 });
});

afterAll(async () => {
  await browser.close();
  await service.close();
});

const PIXELS = `document.querySelector('canvas').toDataURL()`;
const SEEN = `[...document.querySelectorAll('canvas')].filter(
  (canvas) => canvas.getBoundingClientRect().top < innerHeight,
).length`;

/** What all of the browser's processes have computed, in seconds. */
async function computed(): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  return processInfo.reduce((sum, { cpuTime }) => sum + cpuTime, 0);
}

interface Seen extends Frames {
  readonly seen: number;
  readonly moved: boolean;
  /** Milliseconds of one core for a frame. */
  readonly cost: number;
}

async function look(look: BrowserContextOptions): Promise<Seen> {
  const page = await browser.newPage(look);
  await page.goto(service.url);
  await page.waitForSelector('.tile:nth-child(32)');
  await page.waitForTimeout(1_000);
  const before = await page.evaluate<string>(PIXELS);
  await page.waitForTimeout(300);
  const moved = (await page.evaluate<string>(PIXELS)) !== before;
  const seen = await page.evaluate<number>(SEEN);
  let best: Seen = { perSecond: 0, p95: Infinity, seconds: 0, cost: Infinity, seen, moved };
  // The best of three: other programs on the machine take their turns.
  for (let i = 0; i < 3 && best.perSecond < 50; i++) {
    const begun = await computed();
    const measured = await framesOver(page, 4_000);
    const cost = (1000 * ((await computed()) - begun)) / (4 * measured.perSecond);
    if (measured.perSecond > best.perSecond) best = { ...best, ...measured, cost };
  }
  process.stdout.write(`${JSON.stringify(best)}\n`);
  await page.close();
  return best;
}

it('paints at least 50 times a second on a laptop', async () => {
  const { moved, perSecond } = await look({ viewport: { width: 1366, height: 768 } });
  expect(moved, 'the drawing moves').toBe(true);
  expect(perSecond).toBeGreaterThanOrEqual(50);
});

// At 50 frames a second two cores have 40 ms for each: a quarter is left to the service beside it.
it('leaves the service its time with every seat in sight, as zoomed out', async () => {
  const viewport = { width: 2732, height: 1536 };
  const { moved, seen, cost } = await look({ viewport, deviceScaleFactor: 0.5 });
  expect(moved, 'the drawing moves').toBe(true);
  expect(seen, 'drawings in sight').toBe(32);
  expect(cost).toBeLessThanOrEqual(30);
});
