import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { compareTake } from '../commands/compare-hands.js';
import { busyTake } from '../support/busy-take.js';
import { seriousFindings } from './support/browser.js';
import { soon } from './support/soon.js';
import { openBench, openPage, seatPlaying, type Bench } from './take/hands.js';

const CASES = new URL('../takes/cases/', import.meta.url).pathname;

let bench: Bench;
const pages: Page[] = [];

beforeAll(async () => {
  bench = await openBench();
  bench.takes.set('hand.take.jsonl', compareTake({ rules: 'plain', seat: 'north' }));
  bench.takes.set('busy.take.jsonl', busyTake(120));
});
beforeEach(() => {
  bench.seats = [];
});
afterEach(async () => {
  await Promise.all(pages.splice(0).map((page) => page.close()));
});
afterAll(() => bench.close());

async function opened(path: string, options = {}): Promise<{ page: Page; wrong: string[] }> {
  const found = await openPage(bench, path, options);
  pages.push(found.page);
  return found;
}

/** Opens the take of which every part is played otherwise by some rule, by plain and by legato. */
async function openHand(options = {}): Promise<{ page: Page; wrong: string[] }> {
  bench.seats = [await seatPlaying('north', 'legato')];
  const found = await opened('#/take/hand.take.jsonl', options);
  await headline(found.page);
  return found;
}

const headline = async (page: Page): Promise<string> => {
  const line = page.getByTestId('headline');
  await line.waitFor();
  return line.innerText();
};
const picture = (page: Page) => page.locator('.take-canvas');
const told = (page: Page) => page.locator('.take-told');
const shown = (page: Page) => page.locator('.take-tools output').innerText();
const press = async (page: Page, ...keys: string[]): Promise<void> => {
  for (const key of keys) await page.keyboard.press(key);
};

describe('a take of the list', () => {
  it('is opened from it, against what plays at its seat now, and says what differs', async () => {
    bench.seats = [await seatPlaying('north', 'legato')];
    const { page, wrong } = await opened('#/takes');
    await page.getByRole('link', { name: 'hand.take.jsonl' }).click();
    // By hand: fret 4 of G2, pressed at 10.3 s on the sounding string, is a note by legato only.
    expect(await headline(page)).toBe(
      'B adds 1 note. 5 other notes differ in length. 1 note is alike.',
    );
    expect(await page.getByLabel('B, rules').inputValue()).toBe('tried:north');
    const rows = page.getByRole('region', { name: 'Differences' }).getByRole('row');
    expect(await rows.count()).toBe(7);
    expect(await rows.nth(6).innerText()).toMatch(
      /10\.3\d\d s\s+G2 fret 4\s+–\s+B2 \d+\s+added in B/,
    );
    const rules = page.getByRole('region', { name: 'Rules that differ' });
    expect(await rules.innerText()).toMatch(/strings\.hammer-on\s+false\s+true\s+A fret pressed/);
    expect(wrong).toEqual([]);
  });

  it('is compared again as other rules are chosen, and as what is tried at a seat changes', async () => {
    const { page } = await openHand();
    await page.getByLabel('B, rules').selectOption('file:instant');
    await page.getByText('differ in time and loudness').waitFor();
    await page.getByLabel('B, rules').selectOption('tried:north');
    await page.getByText('B adds 1 note').waitFor();
    const seats = [await seatPlaying('north', 'plain')];
    await page.evaluate((now) => {
      const { state } = window as unknown as { state: { seats: { value: unknown } } };
      state.seats.value = now;
    }, seats);
    await page.getByText('A and B sound the same').waitFor();
  });

  it('passes over rules that cannot run here, and says so of those that are chosen', async () => {
    const { page, wrong } = await opened('#/take/hand.take.jsonl');
    await headline(page);
    // The first other one in the list, arpeggio, is a module: B is the one after it.
    expect(await page.getByLabel('B, rules').inputValue()).toBe('file:instant');
    await page.getByLabel('B, rules').selectOption('file:strum');
    const alert = page.locator('.take-fault');
    await alert.waitFor();
    expect(await alert.innerText()).toMatch(/“strum” are played by a module of your own/);
    expect(await alert.innerText()).toContain(
      'pluckwork compare hand.take.jsonl --rules A --rules B',
    );
    expect(wrong).toEqual([]);
  });

  it('that is not there is told in the service’s words', async () => {
    const { page } = await opened('#/take/gone.take.jsonl');
    await page.getByText('There is no such file.').waitFor();
    await page.getByText('Choose another.').waitFor();
  });
});

describe('a take of a whole room', () => {
  it('is looked at seat by seat, and explained with all its seats', async () => {
    const seats = ['north', 'south'].map((name, i) => ({
      name,
      first: 20 * i,
      inputs: 20,
      full: 16_383,
      instrument: 'bass-4x4',
    }));
    const [, ...lines] = compareTake().trimEnd().split('\n');
    const header = JSON.stringify({ take: 1, inputs: 40, full: 16_383, room: { seats } });
    bench.takes.set('room.take.jsonl', `${[header, ...lines].join('\n')}\n`);
    bench.seats = [await seatPlaying('north', 'legato')];
    const { page, wrong } = await opened('#/take/room.take.jsonl');
    expect(await headline(page)).toMatch(/^B adds 1 note/);
    await picture(page).focus();
    await press(page, 'p', 'Enter');
    await page.getByTestId('answer').waitFor();
    await page.getByLabel('Seat', { exact: true }).selectOption({ label: 'south' });
    await page.getByText('Neither plays a note.').waitFor();
    // What was said of the other seat is gone.
    await soon(() => page.getByTestId('answer').count()).toBe(0);
    expect(wrong).toEqual([]);
    bench.takes.delete('room.take.jsonl');
  });
});

describe('a file of this device', () => {
  const whole = compareTake({
    instrument: JSON.parse(
      readFileSync(`${CASES}fret-and-pluck.take.jsonl`, 'utf8').split('\n')[0]!,
    ).instrument,
    rules: { name: 'own' },
  });

  it('is opened gzipped, without being sent, and says where it was cut off', async () => {
    const { page, wrong } = await opened('#/takes');
    bench.fetched.length = 0;
    const packed = gzipSync(whole);
    const input = page.locator('input[type=file]').first();
    const name = 'mine.take.jsonl.gz';
    await input.setInputFiles({ name, mimeType: '', buffer: packed.subarray(0, -2_000) });
    await page.getByText('The packed file breaks off').waitFor();
    await headline(page);
    expect(bench.fetched.filter((path) => path.includes('take'))).toEqual([]);
    expect(wrong).toEqual([]);
  });

  it('that is no take is refused with a next step', async () => {
    const { page } = await opened('#/takes');
    const input = page.locator('input[type=file]').first();
    await input.setInputFiles({ name: 'x.txt', mimeType: '', buffer: Buffer.from('hello\n') });
    await page.getByText('This file is no take').waitFor();
    await page.getByText('Choose a file that the recorder wrote').waitFor();
  });

  it('of wanted notes judges every difference', async () => {
    const { page } = await openHand();
    const notes = [
      '{"t":10008000,"type":"on","note":45,"duration":600000}',
      '{"t":10308000,"type":"on","note":47,"duration":500000}',
    ];
    await page
      .locator('input[type=file]')
      .nth(1)
      .setInputFiles({ name: 'wanted.jsonl', mimeType: '', buffer: Buffer.from(notes.join('\n')) });
    await page.getByText('wanted.jsonl: 2 wanted notes').waitFor();
    const differences = page.getByRole('region', { name: 'Differences' });
    await differences.getByText('B is right').waitFor();
    // F = 2 · 1 / (2 + 6) of A and 2 · 2 / (2 + 7) of B, rounded down.
    const summary = await page.getByRole('region', { name: 'In short' }).innerText();
    expect(summary).toContain('F 0.250: 1 of 2 wanted notes right, 5 not wanted');
    expect(summary).toContain('F 0.444: 2 of 2 wanted notes right, 5 not wanted');
  });
});

describe('the picture', () => {
  it('goes to the next difference by key, tells it, and says why by another', async () => {
    const { page, wrong } = await openHand();
    await picture(page).focus();
    await press(page, 'p');
    await soon(() => told(page).innerText()).toMatch(
      /^Difference 1 of 6 at 6\.11 s, on A1 fret 3: \d+\.\d ms longer$/,
    );
    await press(page, 'p');
    await soon(() => told(page).innerText()).toBe(
      'Difference 6 of 6 at 10.31 s, on G2 fret 4: added in B',
    );
    const current = page.locator('tr[aria-current=true]');
    await soon(() => current.innerText()).toContain('G2 fret 4');
    await press(page, 'Enter');
    await page.getByTestId('answer').waitFor();
    const answer = await page.getByTestId('answer').innerText();
    // Both at once: the note before ends, and this one begins.
    expect(answer).toMatch(/^(A2 at 10\.008 s .* ended at 10\.308 s|B2 at 10\.308 s)/);
    expect(answer).toMatch(
      /B2 at 10\.308 s \(G2 fret 4\)\s+Fret 4 was pressed on the sounding string/,
    );
    expect(answer).toContain('strings.hammer-on false');
    expect(answer.startsWith(await told(page).innerText())).toBe(true);
    expect(wrong).toEqual([]);
  });

  it('has a line that goes by time and by row, and tells what is there', async () => {
    const { page } = await openHand();
    await picture(page).focus();
    await press(page, 'ArrowRight', 'ArrowRight');
    await soon(() => told(page).innerText()).toMatch(/^\d+\.\d{3} s, G2 fret 1: level -?\d\.\d\d$/);
    await press(page, 'ArrowDown', 'ArrowDown');
    await soon(() => told(page).innerText()).toMatch(/, G2 fret 3: level/);
    const before = await shown(page);
    await press(page, 'Shift+ArrowLeft');
    await soon(() => shown(page)).not.toBe(before);
  });

  it('zooms by keys, by buttons, by the wheel with Ctrl, and by two fingers', async () => {
    const { page } = await openHand();
    const long = async (): Promise<number> => {
      const [from, to] = (await shown(page)).match(/\d+\.\d+/g)!.map(Number);
      return to! - from!;
    };
    const start = await long();
    await picture(page).focus();
    await press(page, '+');
    await soon(long).toBeCloseTo(start / 2, 1);
    await page.getByRole('button', { name: 'Zoom out' }).click();
    await soon(long).toBeCloseTo(start, 1);
    await picture(page).hover();
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -320);
    await page.keyboard.up('Control');
    await soon(long).toBeCloseTo(start / 2, 1);
    await page.getByRole('button', { name: 'Whole take' }).click();
    await soon(long).toBeCloseTo(12.5, 1);

    const box = (await picture(page).boundingBox())!;
    const cdp = await page.context().newCDPSession(page);
    const touch = (type: string, ...xs: number[]) =>
      cdp.send('Input.dispatchTouchEvent', {
        type: type as 'touchStart',
        touchPoints: xs.map((x, id) => ({ x: box.x + x, y: box.y + 100, id })),
      });
    await touch('touchStart', 300, 500);
    for (let by = 20; by <= 100; by += 20) await touch('touchMove', 300 - by, 500 + by);
    await touch('touchEnd');
    await soon(long).toBeLessThan(8);
  });

  it('says why at a place that is pressed', async () => {
    const { page } = await openHand();
    await page.getByRole('button', { name: 'Whole take' }).click();
    // E1 open is plucked at 1 s: the last but two of the rows is its pluck pad.
    const row = await page.locator('.take-name', { hasText: 'E1 pluck' }).boundingBox();
    const box = (await picture(page).boundingBox())!;
    const x = (1.05 / 12.5) * box.width;
    await picture(page).click({ position: { x, y: row!.y + row!.height / 2 - box.y } });
    await page.getByTestId('answer').waitFor();
    expect(await page.getByTestId('answer').innerText()).toMatch(
      /^E1 at 1\.0\d\d s \(E1 open\): no fret was held: the open string/,
    );
    await soon(() => page.getByLabel('Pad', { exact: true }).inputValue()).toBe('19');
  });

  it('draws levels, notes and differences, which pixels show', async () => {
    const { page } = await openHand();
    const colours = async (): Promise<number> =>
      picture(page).evaluate((element) => {
        const canvas = element as HTMLCanvasElement;
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        const found = new Set<number>();
        for (let i = 0; i < data.length; i += 4)
          found.add((data[i]! << 16) | (data[i + 1]! << 8) | data[i + 2]!);
        return found.size;
      });
    await soon(colours).toBeGreaterThan(20);
  });
});

describe('the table and the form do all that the picture does', () => {
  it('by rows that lead to their place, and by a time and a pad to be explained', async () => {
    const { page } = await openHand();
    await page.getByRole('button', { name: /^Difference 6: go to/ }).click();
    await soon(() => told(page).innerText()).toContain('Difference 6 of 6');
    await soon(() => picture(page).evaluate((one) => one === document.activeElement)).toBe(true);
    await page.getByLabel('Time in seconds').fill('6,1');
    await page.getByLabel('Pad', { exact: true }).selectOption({ label: 'A1 pluck' });
    await page.getByRole('button', { name: 'Explain' }).click();
    await page.getByTestId('answer').waitFor();
    // Fret 3 of A1 (33) is C2; fret 1 was held as well.
    expect(await page.getByTestId('answer').innerText()).toMatch(
      /^C2 at 6\.108 s \(A1 fret 3\): fret 1 was held too, and fret 3 counts \(strings\.stop highest\)/,
    );
    await page.getByLabel('Time in seconds').fill('99');
    await page.getByRole('button', { name: 'Explain' }).click();
    await page.getByText('Write a time from 0 to 12.00 s.').waitFor();
  });
});

describe('listening', () => {
  it('plays what is shown by A, tells where it is, and stops', async () => {
    const { page, wrong } = await openHand();
    await page.getByRole('button', { name: 'Play A' }).click();
    const time = page.getByRole('region', { name: 'Listen' }).locator('output');
    await soon(() => time.innerText()).toMatch(/^A at \d+\.\d s$/);
    const first = await time.innerText();
    await soon(() => time.innerText()).not.toBe(first);
    await page.getByRole('button', { name: 'Stop' }).click();
    await soon(() => time.innerText()).toBe('');
    await page.getByRole('button', { name: 'Play B' }).click();
    await soon(() => time.innerText()).toMatch(/^B at /);
    expect(wrong).toEqual([]);
  });
});

describe('two minutes of 20 pads at 250 scans a second', () => {
  it('open, are explained and are zoomed without the page being held up', async () => {
    const { page, wrong } = await opened('#/takes');
    const began = performance.now();
    await page.getByRole('link', { name: 'busy.take.jsonl' }).click();
    await headline(page);
    const open = performance.now() - began;
    await page.getByRole('button', { name: 'Whole take' }).click();
    // What a frame takes of the page's own time, however many others use this machine.
    const draws = await page.evaluate(async () => {
      const canvas = document.querySelector('.take-canvas')!;
      const { left, top, width } = canvas.getBoundingClientRect();
      const wheel = { ctrlKey: true, clientX: left + width / 2, clientY: top + 50 };
      const times: number[] = [];
      for (let i = 0; i < 60; i++) {
        const deltaY = i < 30 ? -80 : 80;
        canvas.dispatchEvent(
          new WheelEvent('wheel', { ...wheel, deltaY, bubbles: true, cancelable: true }),
        );
        await new Promise<void>((done) => {
          requestAnimationFrame((begins) => {
            setTimeout(() => {
              times.push(performance.now() - begins);
              done();
            });
          });
        });
      }
      return times.sort((a, b) => a - b);
    });
    console.log(
      `take view: open ${open.toFixed(0)} ms; a frame ${draws[30]!.toFixed(1)} ms, 95 % ${draws[56]!.toFixed(1)} ms`,
    );
    await page.getByLabel('Time in seconds').fill('110.1');
    const asked = performance.now();
    await page.getByRole('button', { name: 'Explain' }).click();
    await page.getByTestId('answer').waitFor();
    console.log(`take view: explained in ${(performance.now() - asked).toFixed(0)} ms`);
    // 3 s is what is promised on a machine of its own; tests share one.
    expect(open).toBeLessThan(9_000);
    expect(draws[30]!).toBeLessThan(50);
    expect(wrong).toEqual([]);
  });
});

describe.each([
  ['bright', { colorScheme: 'light' }],
  ['dark', { colorScheme: 'dark' }],
  ['360 px wide', { viewport: { width: 360, height: 740 } }],
  ['200 % zoom', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
  ['German', { locale: 'de-DE' }],
])('the page, %s', (name, options) => {
  it('has nothing serious for axe-core, and does not scroll sideways', async () => {
    const { page, wrong } = await openHand(options);
    await picture(page).focus();
    await press(page, 'p', 'p', 'Enter');
    await page.getByTestId('answer').waitFor();
    expect(await seriousFindings(page)).toEqual([]);
    const wider = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(wider).toBeLessThanOrEqual(0);
    const pictures = process.env.PLUCKWORK_PICTURES;
    if (pictures) await page.screenshot({ path: `${pictures}/take ${name}.png`, fullPage: true });
    expect(wrong).toEqual([]);
  });
});
