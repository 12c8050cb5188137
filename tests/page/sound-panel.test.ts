import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { PageEngine } from '../../src/page/link/state.js';
import { on } from '../engine/builtin/helpers.js';
import { pageSeat } from '../page-unit/browser/sound/hands.js';
import { soundPage, type SoundPage } from './sound-page.js';
import { seriousFindings } from './support/browser.js';
import { soon } from './support/soon.js';

/* The panel in a real Chromium, with keys alone, and as axe-core judges it. */
let browser: SoundPage;
let page: Page;

beforeAll(async () => {
  browser = await soundPage();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  page = await browser.open();
  const engine: PageEngine = {
    id: 0,
    name: 'built-in',
    on: true,
    loudness: null,
    ceiling: { peak: -2, loudness: -20 },
  };
  const seats = [pageSeat('north')];
  await page.evaluate(`
    globalThis.fake = hands.connectionTo(${JSON.stringify(seats)}, ${JSON.stringify([engine])});
    hands.render(hands.h(hands.SpeakerPanel, { connection: fake.connection }), document.getElementById('panel'));
  `);
});
afterEach(async () => {
  await page.close();
});

async function show(): Promise<void> {
  const folder = process.env['SCREENSHOTS'];
  if (folder === undefined) return;
  const name = (expect.getState().currentTestName ?? '').replace(/[^a-z0-9]+/gi, '-');
  await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true });
}

const turnOn = async (): Promise<void> => {
  await page.getByRole('button', { name: 'Sound on this device' }).focus();
  await page.keyboard.press('Enter');
  await page.getByText('On: this device sounds the room.').waitFor();
};
const play = async (): Promise<void> => {
  const notes = [0, 1, 2, 3].map((i) => ({
    after: 100 + 150 * i,
    events: [on({ voice: i + 1, string: i, note: 40 + i, velocity: 127, strength: 1 })],
  }));
  await page.evaluate(`hands.playLive(fake, ${JSON.stringify(notes)}, [0])`);
};

describe('the panel', () => {
  it('warns before it sounds, and says nothing sounds', async () => {
    await page.getByText('turn this device’s volume down').waitFor();
    await page.getByText('Off: nothing sounds on this device.').waitFor();
    expect(await page.getByRole('slider').count()).toBe(0);
    await show();
    expect(await seriousFindings(page, '#panel')).toEqual([]);
  });

  it('turns on, shows how loud it is against the room’s ceiling, and off, by keys', async () => {
    await turnOn();
    await page.getByText('Also switched on: built-in').waitFor();
    expect(await page.evaluate('fake.asked')).toEqual([{ ask: 'voices', on: true }]);
    await play();
    const meter = page.getByRole('meter');
    await soon(() => meter.getAttribute('aria-valuetext')).toMatch(
      /limit: −\d+ of at most −26 LUFS/,
    );
    await page.getByText(/Highest peak −\d+ of at most −8 dBTP/).waitFor();
    await page.getByText(/Sounds about \d+ ms after the touch/).waitFor();
    await show();
    expect(await seriousFindings(page, '#panel')).toEqual([]);
    await page.getByRole('button', { name: 'Turn it off' }).focus();
    await page.keyboard.press('Space');
    await page.getByText('Off: nothing sounds on this device.').waitFor();
    expect(await page.evaluate('fake.asked.at(-1)')).toEqual({ ask: 'voices', on: false });
  });

  it('has a level of its own, which it keeps', async () => {
    await turnOn();
    const slider = page.getByRole('slider', { name: 'Level of this device' });
    expect(await slider.inputValue()).toBe('0.5');
    expect(await slider.getAttribute('aria-valuetext')).toBe('50 % (−6 dB)');
    await slider.focus();
    for (let i = 0; i < 6; i++) await page.keyboard.press('ArrowLeft');
    await soon(() => slider.getAttribute('aria-valuetext')).toBe('20 % (−14 dB)');
    await soon(() => page.evaluate(`localStorage.getItem('pluckwork-speaker-level')`)).toBe('0.2');
    await page.keyboard.press('Home');
    await soon(() => slider.getAttribute('aria-valuetext')).toBe('silent');
  });

  it('says that the link is lost', async () => {
    await turnOn();
    await page.evaluate(`fake.link.value = 'lost'`);
    await page.getByText('On, but silent: there is no link to pluckwork.').waitFor();
  });

  it.each([
    { name: 'dark', width: 800, zoom: 1, scheme: 'dark' },
    { name: 'narrow', width: 360, zoom: 1, scheme: 'light' },
    { name: 'twice as large', width: 640, zoom: 2, scheme: 'light' },
  ] as const)('fits and reads when $name', async ({ width, zoom, scheme }) => {
    await page.setViewportSize({ width: width / zoom, height: 700 });
    await page.emulateMedia({ colorScheme: scheme });
    await turnOn();
    await play();
    await page.getByText('LUFS').first().waitFor();
    await show();
    expect(await seriousFindings(page, '#panel')).toEqual([]);
    const over = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
    expect(await page.evaluate(over)).toBeLessThanOrEqual(0);
  });
});
