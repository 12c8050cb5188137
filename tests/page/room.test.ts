import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { SETTLE } from '../../src/page/browser/parts/wish.js';
import type { Ask } from '../../src/page/link/asks.js';
import { axeFindings, launch } from './support/browser.js';
import { madeUpRoom } from './support/made-up-room.js';
import { madeUpService, type MadeUpService } from './support/made-up-service.js';
import { soon } from './support/soon.js';

/** The frame and the room view in a real browser, with a made-up room behind them. */

let browser: Browser;
let service: MadeUpService;
let page: Page;

beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

async function open(
  options: Partial<Parameters<typeof madeUpService>[0]> = {},
  look: BrowserContextOptions = {},
) {
  service = await madeUpService({
    state: madeUpRoom({ seats: 5, screen: true }),
    rate: 0,
    ...options,
  });
  page = await browser.newPage({ viewport: { width: 1200, height: 900 }, ...look });
  await page.goto(service.url);
  await page.waitForSelector('.tile');
}

afterEach(async () => {
  await page.close();
  await service.close();
});

const asks = <Name extends Ask['ask']>(name: Name): Extract<Ask, { ask: Name }>[] =>
  service.asks.filter((one): one is Extract<Ask, { ask: Name }> => one.ask === name);

describe('the room', () => {
  beforeEach(() => open());

  it('shows each seat with its name, its state in words and its own drawing', async () => {
    expect(await page.locator('.tile h3').allInnerTexts()).toEqual([
      'north',
      'window',
      'door',
      'shelf',
      'corner',
    ]);
    expect(await page.locator('.tile-head .status').allInnerTexts()).toEqual([
      ...['Plugged in', 'Plugged in', 'Plugged in', 'Listening, nothing heard yet', 'Plugged in'],
    ]);
    const pads = await page
      .locator('.tile')
      .evaluateAll((tiles) => tiles.map((tile) => tile.querySelectorAll('.board .pad').length));
    expect(pads).toEqual([20, 28, 13, 9, 6]);
    expect(await page.getByRole('img', { name: /Touch ukulele.*28 pads/ }).count()).toBe(1);
  });

  it('turns down, mutes and tells of it', async () => {
    await page.getByRole('button', { name: 'Mute, north' }).click();
    await soon(() => asks('seat')).toHaveLength(1);
    expect(asks('seat')).toEqual([{ ask: 'seat', seat: 0, mute: true }]);
    const mute = page.getByRole('button', { name: 'Mute, north' });
    await soon(() => mute.getAttribute('aria-pressed')).toBe('true');
    await soon(() => page.locator('.tile').first().innerText()).toContain('muted');
    const level = page.getByRole('slider', { name: 'Level, window' });
    await level.focus();
    await page.keyboard.press('ArrowLeft');
    await soon(() => asks('seat')).toHaveLength(2);
    expect(asks('seat')[1]).toEqual({ ask: 'seat', seat: 1, level: 0.79 });
    await soon(() => level.getAttribute('aria-valuetext')).toBe('79 %');
  });

  it('does not flood while a slider is dragged, nor jump under the hand', async () => {
    const slider = page.getByRole('slider', { name: 'Level, north' });
    await slider.scrollIntoViewIfNeeded();
    const box = (await slider.boundingBox())!;
    const y = box.y + box.height / 2;
    await page.mouse.move(box.x + box.width * 0.8, y);
    await page.mouse.down();
    const begun = Date.now();
    for (let i = 0; i < 100; i++) {
      await page.mouse.move(box.x + box.width * (0.8 - i * 0.006), y);
      if (i % 20 === 10) {
        // Somebody else turns it up meanwhile.
        const state = madeUpRoom({ seats: 5, screen: true });
        service.tell({ told: 'seats', now: state.seats });
      }
    }
    const seconds = (Date.now() - begun) / 1000;
    const held = Number(await slider.inputValue());
    await page.mouse.up();
    expect(held).toBeLessThan(0.3);
    expect(asks('seat').length).toBeLessThanOrEqual(Math.ceil(seconds * 20) + 2);
    await soon(() => asks('seat').at(-1)?.level).toBe(held);
    // Well after it was answered, when it shows what is in effect.
    await page.waitForTimeout(4 * SETTLE);
    expect(Number(await slider.inputValue())).toBe(held);
  });

  it('chooses a sound, rules and a scale', async () => {
    await page.locator('.tile').first().getByText('Sound and rules').click();
    await page.getByRole('combobox', { name: 'Sound, north' }).selectOption('33');
    await page.getByRole('combobox', { name: 'Rules, north' }).selectOption('legato');
    await page.getByText('Which notes, and how many at once').click();
    await page.getByRole('combobox', { name: 'Notes that are played' }).selectOption('minor');
    await page.getByRole('combobox', { name: 'Key' }).selectOption('9');
    await soon(() => asks('room')).toHaveLength(2);
    expect(asks('seat')).toEqual([{ ask: 'seat', seat: 0, sound: 33 }]);
    expect(asks('rules')).toEqual([{ ask: 'rules', seat: 0, name: 'legato' }]);
    // A minor is the white keys, as C major is; the name that was chosen stays.
    expect(asks('room')[1]).toEqual({ ask: 'room', scale: [0, 2, 4, 5, 7, 9, 11] });
    await page.waitForTimeout(500);
    expect(await page.getByRole('combobox', { name: 'Notes that are played' }).inputValue()).toBe(
      'minor',
    );
    await page.getByRole('combobox', { name: 'Notes that are played' }).selectOption('other');
    await page.getByRole('button', { name: 'F is played', exact: true }).click();
    await soon(() => asks('room').at(-1)?.scale).toEqual([0, 2, 4, 7, 9, 11]);
  });

  it('is silent at a key, but not while a person chooses', async () => {
    await page.keyboard.press('Escape');
    await soon(() => asks('silence')).toHaveLength(1);
    await soon(() => page.locator('[aria-live=polite]').innerText()).toContain('Silenced');
    await page.locator('.tile').first().getByText('Sound and rules').click();
    await page.getByRole('combobox', { name: 'Sound, north' }).focus();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: /^Silence/ }).click();
    await soon(() => asks('silence')).toHaveLength(2);
    await page.evaluate('scrollTo(0, document.body.scrollHeight)');
    expect(await page.getByRole('button', { name: /^Silence/ }).isVisible()).toBe(true);
    const box = (await page.getByRole('button', { name: /^Silence/ }).boundingBox())!;
    expect(box.y).toBeGreaterThanOrEqual(0);
    expect(box.y + box.height).toBeLessThan(900);
    expect(asks('silence')).toHaveLength(2);
  });

  it('tells of what happens, errors at once', async () => {
    const { notices } = madeUpRoom({ seats: 1 });
    // Those of before are there, and are not said.
    await soon(() => page.locator('.notice').count()).toBe(notices.length);
    expect(await page.locator('[aria-live]').allInnerTexts()).toEqual(['', '']);
    const one = {
      number: 4,
      at: 0,
      level: 'error',
      what: 'The cable broke',
      where: 'seat window',
      next: 'Take another',
    } as const;
    service.tell({ told: 'notices', now: [...notices, one] });
    await soon(() => page.locator('[aria-live=assertive]').innerText()).toContain(
      'seat window: The cable broke. Take another',
    );
    await soon(() => page.locator('.notice').first().innerText()).toContain('The cable broke');
  });

  it('says that the connection is lost, and comes back by itself', async () => {
    // It stays lost until that was seen: the page is back within a quarter of a second.
    service.cut(false);
    await page.getByText('Connection lost').waitFor();
    service.cut(true);
    await page.getByText('Connected', { exact: true }).waitFor();
    await page.keyboard.press('Escape');
    await soon(() => asks('silence')).toHaveLength(1);
  });

  it('speaks German where that is chosen, and keeps it', async () => {
    await page.getByText('Language and light').click();
    await page.getByRole('combobox', { name: 'Language' }).selectOption('de');
    await page.getByRole('button', { name: /^Stille/ }).waitFor();
    await page.getByRole('combobox', { name: 'Helligkeit' }).selectOption('dark');
    await page.reload();
    await page.waitForSelector('.tile');
    const html = page.locator('html');
    expect(await html.getAttribute('lang')).toBe('de');
    expect(await html.getAttribute('data-scheme')).toBe('dark');
  });
});

describe('a drawing that is played', () => {
  beforeEach(() => open());

  const group = (seat: string) => page.getByRole('group', { name: `Play ${seat} here` });
  const presses = () =>
    service.asks.flatMap((one) =>
      one.ask === 'press' || one.ask === 'release' ? [[one.ask, one.seat, one.pad]] : [],
    );

  it('presses under the mouse, slides along, and lets go', async () => {
    const box = async (name: string) =>
      (await group('north').getByRole('button', { name, exact: true }).boundingBox())!;
    const [from, to] = [await box('E1 fret 1'), await box('E1 fret 2')];
    await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
    await page.mouse.down();
    await page.mouse.move(to.x + to.width / 2, to.y + to.height / 2, { steps: 8 });
    await page.mouse.up();
    await soon(() => presses()).toHaveLength(4);
    expect(presses()).toEqual([
      ['press', 0, 3],
      ['press', 0, 7],
      ['release', 0, 3],
      ['release', 0, 7],
    ]);
    expect(asks('press')[0]!.strength).toBeGreaterThan(0.9);
  });

  it('shows what is touched on the canvas', async () => {
    const pixels = () => page.evaluate<string>(`document.querySelector('canvas').toDataURL()`);
    // Of its own size, and still: the picture of no finger.
    let before = '';
    await soon(async () => {
      const last = before;
      before = await pixels();
      await page.waitForTimeout(200);
      const width = await page.evaluate<number>(`document.querySelector('canvas').width`);
      // 300 is the width of a canvas that nobody has set (HTML standard).
      return width !== 300 && before === last;
    }).toBe(true);
    const pluck = (await group('north').getByRole('button', { name: 'G2 pluck' }).boundingBox())!;
    await page.mouse.move(pluck.x + pluck.width / 2, pluck.y + pluck.height / 2);
    await page.mouse.down();
    // As words, since a failure would print two whole pictures.
    const same = async (): Promise<boolean> => (await pixels()) === before;
    await soon(same).toBe(false);
    await page.mouse.up();
    await soon(same).toBe(true);
  });

  it('takes several fingers, each with its own pad', async () => {
    const touch = await page.context().newCDPSession(page);
    const place = async (name: string, id: number) => {
      const box = (await group('corner').getByRole('button', { name }).boundingBox())!;
      return { x: box.x + box.width / 2, y: box.y + box.height / 2, id };
    };
    await group('corner').scrollIntoViewIfNeeded();
    const [a, b] = [await place('snare drum', 1), await place('low tom', 2)];
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [a] });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [a, b] });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await soon(() => presses()).toHaveLength(4);
    expect(presses().slice(0, 2)).toEqual([
      ['press', 4, 1],
      ['press', 4, 4],
    ]);
    expect(presses().slice(2).sort()).toEqual([
      ['release', 4, 1],
      ['release', 4, 4],
    ]);
  });

  it('is played by the keyboard alone: a fret kept held while its string is plucked', async () => {
    await group('north').getByRole('button', { name: 'G2 fret 1' }).focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    const fret = group('north').getByRole('button', { name: 'G2 fret 2' });
    await soon(() => fret.getAttribute('aria-pressed')).toBe('true');
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.down(' ');
    await page.keyboard.up(' ');
    await soon(() => presses()).toHaveLength(3);
    expect(presses()).toEqual([
      ['press', 0, 4],
      ['press', 0, 16],
      ['release', 0, 16],
    ]);
    // One stop of the Tab key for the whole drawing.
    expect(await group('north').locator('[tabindex="0"]').count()).toBe(1);
    await page.evaluate(`dispatchEvent(new Event('blur'))`);
    await soon(() => presses()).toHaveLength(4);
    expect(presses().at(-1)).toEqual(['release', 0, 4]);
  });

  it.each([
    ['at Escape', () => page.keyboard.press('Escape')],
    [
      'as the unit is pulled out',
      async () => {
        const { seats } = madeUpRoom({ seats: 5, screen: true });
        service.tell({ told: 'seats', now: seats.map((seat) => ({ ...seat, plugged: 'lost' })) });
      },
    ],
  ] as const)('lets go %s', async (_, happens) => {
    await group('north').getByRole('button', { name: 'G2 fret 1' }).focus();
    await page.keyboard.press('Enter');
    await soon(() => presses()).toHaveLength(1);
    await happens();
    await soon(() => presses()).toHaveLength(2);
    expect(presses()[1]).toEqual(['release', 0, 0]);
  });

  it('lets go as the view is left', async () => {
    await group('north').getByRole('button', { name: 'G2 fret 1' }).focus();
    await page.keyboard.press('Enter');
    await page.evaluate(`location.hash = '#/takes'`);
    await soon(() => presses()).toHaveLength(2);
    expect(presses()).toEqual([
      ['press', 0, 0],
      ['release', 0, 0],
    ]);
  });

  it('is plugged in and pulled out', async () => {
    await page.getByRole('button', { name: 'Pull out, north' }).click();
    await soon(() => asks('plug')).toHaveLength(1);
    expect(asks('plug')).toEqual([{ ask: 'plug', seat: 0, plugged: false }]);
  });
});

describe('somebody who is refused', () => {
  it('reads why, and what to do', async () => {
    await open({
      refuse: (ask) => (ask.ask === 'seat' ? 'The room has ended; start it again' : null),
    });
    await page.getByRole('button', { name: 'Mute, north' }).click();
    await page.getByText('The room has ended; start it again').first().waitFor();
    expect(
      await page.getByRole('button', { name: 'Mute, north' }).getAttribute('aria-pressed'),
    ).toBe('false');
    await page.locator('.refused').getByRole('button', { name: 'Close' }).click();
    await soon(() => page.locator('.refused').count()).toBe(0);
  });
});

describe('a guest', () => {
  it('sees everything and can change nothing', async () => {
    await open({ guest: true });
    await page.getByText('You are looking on').waitFor();
    const enabled = await page.locator('main :is(button, input, select):enabled').count();
    expect(enabled).toBe(0);
    // It silences this device, and asks nothing of the service.
    await page.getByRole('button', { name: /^Silence/ }).click();
    await page.getByText('Silenced on this device').waitFor({ state: 'attached' });
    expect(await page.getByRole('group', { name: /^Play/ }).count()).toBe(0);
    expect(await page.locator('.board').count()).toBe(5);
    await page.waitForTimeout(500);
    expect(asks('silence')).toEqual([]);
  });
});

describe('axe-core', () => {
  it.each([
    ['bright', {}],
    ['dark', { colorScheme: 'dark' }],
    ['360 px wide', { viewport: { width: 360, height: 780 } }],
    ['at 200 % zoom', { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2 }],
  ] as const)('finds nothing on the room, %s, and nothing sticks out', async (_, look) => {
    await open({ rate: 30 }, look);
    await page.locator('.tile').first().getByText('Sound and rules').click();
    await page.getByText('Which notes, and how many at once').click();
    await page.getByText('Language and light').click();
    expect(await axeFindings(page)).toEqual([]);
    const out = await page.evaluate<number>('document.documentElement.scrollWidth - innerWidth');
    expect(out).toBeLessThanOrEqual(0);
  });
});
