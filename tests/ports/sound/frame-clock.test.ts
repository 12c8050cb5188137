import { describe, expect, it } from 'vitest';
import { FrameClock } from '../../../src/ports/sound/frame-clock.js';

const RATE = 48_000;
const BLOCK = 240; // 5 ms

describe('the frame clock', () => {
  it('puts each event one block after its own time, wherever in a block it came', () => {
    const clock = new FrameClock(RATE);
    for (let i = 0; i < 10; i++) clock.block(1_000_000 + i * 5_000, i * BLOCK, BLOCK);
    const last = 1_045_000;
    for (const later of [0, 1_000, 2_500, 4_999]) {
      expect(clock.frameAt(last + later)).toBe(9 * BLOCK + BLOCK + Math.round(later * 0.048));
    }
  });

  it("evens out the card's unevenness to under 0.2 ms, where blocks come up to 1 ms late", () => {
    const clock = new FrameClock(RATE);
    let worst = 0;
    let mean = 0;
    const offsets: number[] = [];
    for (let i = 0; i < 1_000; i++) {
      const late = ((i * 7_919) % 1_000) | 0;
      clock.block(i * 5_000 + late, i * BLOCK, BLOCK);
      if (i > 500) offsets.push(clock.frameAt(i * 5_000) - i * BLOCK);
    }
    mean = offsets.reduce((a, b) => a + b, 0) / offsets.length;
    for (const offset of offsets) worst = Math.max(worst, Math.abs(offset - mean));
    expect((worst / RATE) * 1_000).toBeLessThan(0.2);
  });

  it('begins again after a gap', () => {
    const clock = new FrameClock(RATE);
    clock.block(0, 0, BLOCK);
    clock.block(5_000, BLOCK, BLOCK);
    clock.block(3_000_000, 2 * BLOCK, BLOCK);
    expect(clock.frameAt(3_000_000)).toBe(3 * BLOCK);
  });

  it('never holds an event back longer than two blocks, and says 0 before the first', () => {
    const clock = new FrameClock(RATE);
    expect(clock.frameAt(123_456)).toBe(0);
    clock.block(0, 0, BLOCK);
    expect(clock.frameAt(60_000_000)).toBe(2 * BLOCK);
  });
});
