import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Browser, Page } from 'playwright-core';
import type { PageSeat, PageState } from '../../src/page/link/state.js';
import { axeFindings, launch } from './support/browser.js';
import { madeUpRoom } from './support/made-up-room.js';
import { madeUpSeat } from './support/made-up-seat.js';
import { madeUpService, type MadeUpService } from './support/made-up-service.js';
import { soon } from './support/soon.js';

/** Seats that come, go and change in a real browser, with a made-up room behind it. */

let browser: Browser;
let service: MadeUpService;
let page: Page;
let state: PageState;
const trouble: string[] = [];

beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());
beforeEach(async () => {
  trouble.length = 0;
  state = madeUpRoom({ seats: 4, screen: true });
  service = await madeUpService({ state, rate: 0 });
  page = await browser.newPage({ viewport: { width: 1200, height: 900 }, locale: 'en' });
  page.on('pageerror', ({ message }) => trouble.push(message));
  page.on('console', (message) => {
    if (message.type() === 'error') trouble.push(message.text());
  });
});
afterEach(async () => {
  expect(trouble).toEqual([]);
  await page.close();
  await service.close();
});

const open = async (view = ''): Promise<void> => {
  await page.goto(service.url + view);
  await page.getByText('Connected').waitFor();
};
const tell = (seats: readonly PageSeat[]): void => service.tell({ told: 'seats', now: seats });
const names = (): Promise<string[]> => page.locator('.tile h3').allInnerTexts();
const said = (): Promise<string> => page.locator('.unseen [aria-live=polite]').innerText();
const focused = (): Promise<string | null> =>
  page.evaluate(() => document.activeElement?.textContent ?? null);
const newcomer = (): PageSeat => ({
  ...madeUpSeat('shelf 2', 'keys-13', { plugged: 'waiting' }),
  id: 50,
  slot: 50,
  slice: 150,
});

describe('the room view', () => {
  it('has a seat that comes in its place, and says so', async () => {
    await open();
    const [north, window, door, shelf] = state.seats;
    expect(await names()).toEqual(['north', 'window', 'door', 'shelf']);
    const kept = await page.locator('.tile').first().elementHandle();
    tell([north!, newcomer(), window!, door!, shelf!]);
    await soon(names).toEqual(['north', 'shelf 2', 'window', 'door', 'shelf']);
    await soon(said).toContain('shelf 2 has joined the room');
    // The others are not drawn again.
    expect(
      await page
        .locator('.tile')
        .first()
        .evaluate((one, before) => one === before, kept),
    ).toBe(true);
    await page.locator('.tile').nth(1).getByRole('button', { name: 'Mute, shelf 2' }).click();
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'seat', seat: 50, mute: true });
    expect(await axeFindings(page)).toEqual([]);
  });

  it('keeps the place of the keyboard where a seat goes, and the focus where seats move', async () => {
    await open();
    const [north, window, door, shelf] = state.seats;
    await page.getByRole('link', { name: 'Look closely at window' }).focus();
    tell([door!, shelf!, window!, north!]);
    await soon(names).toEqual(['door', 'shelf', 'window', 'north']);
    expect(await focused()).toBe('window');
    tell([door!, shelf!, north!]);
    await soon(names).toEqual(['door', 'shelf', 'north']);
    await soon(said).toContain('window has left the room');
    expect(await focused()).toBe('north');
    tell([door!, shelf!]);
    await soon(focused).toBe('shelf');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement !== document.body)).toBe(true);
    expect(await axeFindings(page)).toEqual([]);
  });

  it('draws another instrument at once, with its own levels, and lets go of what was held', async () => {
    await open();
    const [north, ...others] = state.seats;
    const tile = page.locator('.tile').first();
    const pad = tile.locator('[data-pad="19"]');
    await pad.focus();
    await page.keyboard.press('Enter');
    await soon(() => pad.getAttribute('aria-pressed')).toBe('true');
    const drums = madeUpSeat('north', 'drums-6', { screen: true });
    tell([{ ...drums, id: north!.id, slot: 0, slice: 400 }, ...others]);
    await soon(() => tile.locator('.board .pad').count()).toBe(6);
    await soon(said).toContain('north has another instrument now: Touch drums');
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'release', seat: north!.id, pad: 19 });
    // The keyboard still reaches the drawing.
    const reached = tile.locator('[data-pad][tabindex="0"]');
    expect(await reached.count()).toBe(1);
    expect(await reached.evaluate((one) => one === document.activeElement)).toBe(true);
    const colour = (): Promise<boolean> =>
      tile.locator('canvas').evaluate((canvas) => {
        const { width, height } = canvas as HTMLCanvasElement;
        const pen = (canvas as HTMLCanvasElement).getContext('2d')!;
        return pen.getImageData(0, 0, width, height).data.some((byte) => byte > 0);
      });
    expect(await colour()).toBe(false);
    await page.keyboard.down(' ');
    await soon(colour).toBe(true);
    await page.keyboard.up(' ');
    expect(await axeFindings(page)).toEqual([]);
  });

  it('has engines that come and go, each with its own switch', async () => {
    await open();
    const [first, second, third] = state.engines;
    await page.getByRole('button', { name: third!.name }).waitFor();
    const fresh = { ...first!, id: 9, name: 'OSC 127.0.0.1:9200', loudness: null, ceiling: null };
    service.tell({ told: 'engines', now: [second!, fresh] });
    await soon(() => page.locator('.engine h3').allInnerTexts()).toEqual([
      second!.name,
      fresh.name,
    ]);
    await page.getByRole('button', { name: fresh.name }).click();
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'engine', engine: 9, on: false });
  });
});

describe('the view of a seat', () => {
  it('says that its seat has left, leads back, and shows it again once it is back', async () => {
    await open('#/seat/window');
    const [north, window, door, shelf] = state.seats;
    await page.getByRole('heading', { name: 'Seat window' }).waitFor();
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'watch', seat: window!.id });
    await page.locator('#seat-rules').focus();
    tell([north!, door!, shelf!]);
    const gone = page.getByRole('heading', { name: 'window has left the room' });
    await gone.waitFor();
    expect(await gone.evaluate((one) => one === document.activeElement)).toBe(true);
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'watch', seat: null });
    expect(await axeFindings(page)).toEqual([]);
    const back = { ...window!, id: 60, slot: 60, slice: 160 };
    tell([north!, back, door!, shelf!]);
    await page.getByRole('heading', { name: 'Seat window' }).waitFor();
    await soon(() => service.asks.at(-1)).toEqual({ ask: 'watch', seat: 60 });
    tell([north!, door!, shelf!]);
    await gone.waitFor();
    await page.getByRole('link', { name: 'Back to the room' }).click();
    await soon(names).toEqual(['north', 'door', 'shelf']);
  });

  it('shows another instrument, with a history of its own', async () => {
    await open('#/seat/window');
    const [north, window, ...others] = state.seats;
    await page.locator('.seat-strip').first().waitFor();
    expect(await page.locator('.seat-strip').count()).toBe(window!.padNames.length);
    const drums = { ...madeUpSeat('window', 'drums-6'), id: window!.id, slot: 1, slice: 500 };
    tell([north!, drums, ...others]);
    await soon(() => page.locator('.seat-strip').count()).toBe(6);
    expect(await page.locator('.seat-view header').innerText()).toContain(drums.instrument.name);
    expect(await axeFindings(page)).toEqual([]);
  });
});
