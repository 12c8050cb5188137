import type { Locator, Page } from 'playwright-core';

/** A pad of the one drawing that can be played in a part of the page. */
export function padOf(within: Locator | Page, pad: number): Locator {
  return within.locator(`.pad-button[data-pad="${String(pad)}"]`).first();
}

/** Presses a pad with the mouse for a moment. */
export async function tap(page: Page, pad: Locator, ms = 150): Promise<void> {
  await pad.scrollIntoViewIfNeeded();
  const box = (await pad.locator('.reach').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.waitForTimeout(ms);
  await page.mouse.up();
}

/** One seat's own tile in the room view. */
export function tile(page: Page, seat: string): Locator {
  return page.getByRole('article', { name: `Look closely at ${seat}` });
}
