import type { WebSocket } from 'ws';
import { expect, test } from 'vitest';
import { LIMITS } from '../../../src/page/server/limits.js';
import { seededNumbers } from '../../../src/demo/gestures.js';
import { Page } from '../../../src/page/server/page.js';

/** A page whose browser answers at once; `asked` is called each time. */
function pageOf(others: number, asked: () => void): Page {
  let answer: () => void = () => undefined;
  const socket = {
    bufferedAmount: 0,
    on(_: 'pong', heard: () => void) {
      answer = heard;
    },
    ping() {
      asked();
      answer();
    },
  };
  return new Page(socket as unknown as WebSocket, 'all', LIMITS, 0, others);
}

/** How many pages each look at them asked, in an hour of looks some 100 ms apart. */
function askedAtOnce(count: number): { most: number; perPage: number[] } {
  const perPage = Array.from({ length: count }, () => 0);
  let once = 0;
  const pages = perPage.map((_, i) =>
    pageOf(i, () => {
      perPage[i]! += 1;
      once += 1;
    }),
  );
  const random = seededNumbers(1);
  let most = 0;
  let now = 0;
  for (let look = 0; now < 3_600_000; look++) {
    // A timer rings within a millisecond, and now and then a good deal late.
    now += look % 97 === 0 ? 180 : 99.5 + random();
    once = 0;
    for (const page of pages) page.wake(now);
    most = Math.max(most, once);
  }
  return { most, perPage };
}

test('pages that came together are asked for a sign of life a few at a time, for hours', () => {
  for (const count of [1, 5, 30, 64]) {
    const { most, perPage } = askedAtOnce(count);
    // A tenth of them in 100 ms where they are quite even; a late look has those of nearly two.
    expect(most, String(count)).toBeLessThanOrEqual(Math.ceil(count / 5) + 1);
    for (const times of perPage) expect(times).toBeGreaterThan(3_500);
  }
});
