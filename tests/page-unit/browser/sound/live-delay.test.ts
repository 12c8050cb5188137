import { describe, expect, it } from 'vitest';
import {
  LEAST_DELAY,
  LiveDelay,
  MOST_DELAY,
} from '../../../../src/page/browser/sound/live-delay.js';

describe('the delay of live voices', () => {
  it('is 30 ms while the network is steady', () => {
    const delay = new LiveDelay();
    for (let t = 0; t < 10_000; t += 50) delay.add(5, t);
    expect(delay.now).toBe(30);
    expect(LEAST_DELAY).toBe(30);
  });

  it('is long enough for the latest at once, and comes back within a minute or two', () => {
    const delay = new LiveDelay();
    delay.add(90, 0);
    expect(delay.now).toBeGreaterThan(90);
    expect(delay.now).toBeLessThan(110);
    delay.add(0, 10_000);
    expect(delay.now).toBeGreaterThan(50);
    delay.add(0, 60_000);
    expect(delay.now).toBe(30);
  });

  it('is never so long that nobody could play to it', () => {
    const delay = new LiveDelay();
    delay.add(10_000, 0);
    expect(delay.now).toBe(MOST_DELAY);
    delay.missed(10_000);
    expect(delay.now).toBe(MOST_DELAY);
  });

  it('grows by what came too late for its frame nevertheless', () => {
    const delay = new LiveDelay();
    delay.missed(12);
    expect(delay.now).toBe(42);
    delay.missed(12);
    expect(delay.now).toBe(54);
  });
});
