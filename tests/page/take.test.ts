import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { compareTake } from '../commands/compare-hands.js';
import { openBench, openPage, type Bench } from './take/hands.js';

let bench: Bench;
beforeAll(async () => {
  bench = await openBench();
  bench.takes.set('hand.take.jsonl', compareTake({ rules: 'plain' }));
});
afterAll(() => bench.close());

describe('the take view', () => {
  it('opens a take of the list and says what differs', async () => {
    const { page, wrong } = await openPage(bench, '#/takes');
    await page.getByRole('link', { name: 'hand.take.jsonl' }).click();
    await page.getByTestId('headline').waitFor();
    await page.screenshot({ path: '/tmp/tk/first.png', fullPage: true });
    expect(wrong).toEqual([]);
  });
});
