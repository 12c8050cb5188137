import { pathToFileURL } from 'node:url';
import { join } from 'node:path';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { compareTake } from '../commands/compare-hands.js';
import { run, workFolder } from '../commands/program.js';
import { seriousFindings, launch } from './support/browser.js';
import { soon } from './support/soon.js';

/** Pages that commands write to files, which are opened from the disk. */
const PAGES = {
  compare: ['compare', 'hand.take.jsonl', '--rules', 'plain', '--rules', 'legato'],
  check: ['check', '--take', 'hand.take.jsonl'],
};

const folder = workFolder();
let browser: Browser;
const errors: string[] = [];

beforeAll(async () => {
  browser = await launch();
  folder.write('hand.take.jsonl', compareTake());
  for (const [name, args] of Object.entries(PAGES)) {
    const { err } = await run([...args, '--html', `${name}.html`], folder.path);
    expect(err).toMatch(new RegExp(`is in ${name}\\.html`));
  }
});
afterEach(async () => {
  for (const context of browser.contexts()) await context.close();
  // Nothing that its Content-Security-Policy forbids, nothing that threw, nothing fetched.
  expect(errors.splice(0)).toEqual([]);
});
afterAll(async () => {
  await browser.close();
  folder.remove();
});

async function open(name: string, options: BrowserContextOptions = {}): Promise<Page> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  const url = pathToFileURL(join(folder.path, `${name}.html`)).href;
  page.on('request', (request) => {
    if (request.url() !== url) errors.push(request.url());
  });
  await page.goto(url);
  return page;
}

/** What part of the take is in view, in seconds. */
async function shown(page: Page): Promise<[from: number, to: number]> {
  const text = (await page.locator('#shown').textContent()) ?? '';
  const [, from, to] = /^(\d+\.\d+) to (\d+\.\d+) s$/.exec(text) ?? [];
  return [Number(from), Number(to)];
}

test('the comparison goes from difference to difference and zooms, by keys and by buttons', async () => {
  const page = await open('compare');
  const told = page.locator('#told');
  const total = await page.locator('tr[data-n]').count();
  expect(total).toBeGreaterThan(1);
  await page.keyboard.press('n');
  await soon(() => told.textContent()).toMatch(/^Difference \d+, at /);
  const first = await told.textContent();
  await page.keyboard.press('n');
  await soon(() => told.textContent()).not.toBe(first);
  await page.getByRole('button', { name: 'Previous difference' }).click();
  await soon(() => told.textContent()).toBe(first);
  // What is told of is in view.
  const at = Number(await page.locator('tr.current').getAttribute('data-t'));
  const [from, to] = await shown(page);
  expect(from).toBeLessThanOrEqual(at);
  expect(to).toBeGreaterThan(at);

  await page.keyboard.press('+');
  await soon(async () => {
    const [a, b] = await shown(page);
    return Math.abs((b - a) / (to - from) - 0.5) < 0.02;
  }).toBe(true);
  expect((await shown(page))[0]).toBeGreaterThan(0);
  await page.locator('#view').focus();
  await page.keyboard.press('Home');
  await soon(async () => (await shown(page))[0]).toBe(0);

  const which = page.getByLabel('among');
  await which.selectOption({ label: 'longer or shorter' });
  const listed = await page.locator('tr[data-n]:visible').count();
  expect(listed).toBeLessThan(total);
  await soon(() => told.textContent()).toMatch(
    new RegExp(`^${String(listed)} differences? of this kind$`),
  );
});

test('the comparison without its script shows all of its lists', async () => {
  const page = await open('compare', { javaScriptEnabled: false });
  expect(await page.locator('tr[data-n]:visible').count()).toBeGreaterThan(1);
  expect(await page.getByRole('heading', { name: 'Rules that differ' }).isVisible()).toBe(true);
});

for (const name of Object.keys(PAGES)) {
  const looks: Record<string, BrowserContextOptions> = {
    'in a bright room': { colorScheme: 'light' },
    'in the dark': { colorScheme: 'dark' },
    'on 360 px': { viewport: { width: 360, height: 740 } },
  };
  for (const [where, options] of Object.entries(looks)) {
    test(`${name} ${where}: axe-core finds nothing serious, and nothing is wider than the page`, async () => {
      const page = await open(name, options);
      expect(await seriousFindings(page)).toEqual([]);
      const wider = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
      expect(await page.evaluate(wider)).toBeLessThanOrEqual(0);
    });
  }
}
