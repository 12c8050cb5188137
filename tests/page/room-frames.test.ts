import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Browser } from 'playwright-core';
import { launch } from './support/browser.js';
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

interface Measured {
  readonly perSecond: number;
  /** The longest of the shortest 95 % between two frames, in ms. */
  readonly p95: number;
}

/** Frames as the page itself is asked for them, over some seconds; in the page, so that it is text here. */
const FRAMES = (ms: number): string => `new Promise((resolve) => {
  const times = [];
  const frame = (now) => {
    times.push(now);
    if (now - times[0] < ${String(ms)}) {
      requestAnimationFrame(frame);
      return;
    }
    const between = times.slice(1).map((time, i) => time - times[i]);
    between.sort((a, b) => a - b);
    const perSecond = (1000 * between.length) / (now - times[0]);
    resolve({ perSecond, p95: between[Math.floor(between.length * 0.95)] });
  };
  requestAnimationFrame(frame);
})`;

const PIXELS = `document.querySelector('canvas').toDataURL()`;
const SEEN = `[...document.querySelectorAll('canvas')].filter(
  (canvas) => canvas.getBoundingClientRect().top < innerHeight,
).length`;

it.each([
  ['on a laptop', { width: 1366, height: 768 }, 1],
  ['on a laptop zoomed out, so that every seat is in sight', { width: 2732, height: 1536 }, 0.5],
])('paints at least 50 times a second %s', async (_, viewport, deviceScaleFactor) => {
  const page = await browser.newPage({ viewport, deviceScaleFactor });
  await page.goto(service.url);
  await page.waitForSelector('.tile:nth-child(32)');
  await page.waitForTimeout(1_000);
  const before = await page.evaluate<string>(PIXELS);
  await page.waitForTimeout(300);
  const painted = (await page.evaluate<string>(PIXELS)) !== before;
  const seen = await page.evaluate<number>(SEEN);
  // The best of three: other programs on the machine take their turns.
  let measured: Measured = { perSecond: 0, p95: Infinity };
  for (let i = 0; i < 3 && measured.perSecond < 50; i++) {
    const again = await page.evaluate<Measured>(FRAMES(4_000));
    if (again.perSecond > measured.perSecond) measured = again;
  }
  if (deviceScaleFactor < 1) expect(seen, 'drawings in sight').toBe(32);
  const figures = { ...viewport, seen, ...measured };
  process.stdout.write(`${JSON.stringify(figures)}\n`);
  await page.close();
  expect(painted, 'the drawing moves').toBe(true);
  expect(measured.perSecond).toBeGreaterThanOrEqual(50);
});
