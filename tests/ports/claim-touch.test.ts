import { describe, expect, it } from 'vitest';
import { touchWatch } from '../../src/ports/claim-touch.js';
import { demoUnit } from '../../src/takes/demo.js';
import { readingsOf } from '../../src/takes/gestures.js';

const UNIT = demoUnit(20, 5);

describe('a touch on a unit that waits', () => {
  it.each([0, 7, 16, 19])('is seen on pad %i of a made-up unit, within 20 ms', (pad) => {
    const watch = touchWatch('frames');
    const touch = { pad, at: 1_000_000, until: 1_200_000, strength: 0.7 };
    const seen: number[] = [];
    for (const scan of readingsOf([touch], UNIT, 2_000_000, 3)) {
      if (watch.see(scan)) seen.push(scan.t);
    }
    expect(seen).toHaveLength(1);
    expect(seen[0]! - touch.at).toBeGreaterThanOrEqual(0);
    expect(seen[0]! - touch.at).toBeLessThanOrEqual(20_000);
  });

  it('is held until the finger goes', () => {
    const watch = touchWatch('frames');
    const touch = { pad: 3, at: 1_000_000, until: 1_500_000, strength: 0.7 };
    let held = 0;
    for (const scan of readingsOf([touch], UNIT, 2_500_000, 3)) {
      watch.see(scan);
      if (watch.held(scan.t)) held = scan.t;
    }
    expect(held).toBeGreaterThan(1_480_000);
    expect(held).toBeLessThan(1_600_000);
  });

  it('is not seen in ten minutes of nobody', () => {
    const watch = touchWatch('frames');
    for (const scan of readingsOf([], UNIT, 600_000_000, 11)) expect(watch.see(scan)).toBe(false);
  });

  it('is not seen in one reading that is far off', () => {
    const watch = touchWatch('frames');
    let n = 0;
    for (const scan of readingsOf([], UNIT, 5_000_000, 2)) {
      const spike = n++ % 200 === 150;
      const raws = spike ? scan.raws.map((raw) => raw + 3_000) : scan.raws;
      expect(watch.see({ ...scan, raws })).toBe(false);
    }
  });

  it('is seen when a finger that lay there from the start goes', () => {
    const watch = touchWatch('frames');
    const touch = { pad: 3, at: 0, until: 1_000_000, strength: 0.7 };
    const seen: number[] = [];
    for (const scan of readingsOf([touch], UNIT, 2_000_000, 3)) {
      // The computer listens from here on.
      if (scan.t < 200_000) continue;
      if (watch.see(scan)) seen.push(scan.t);
      expect(watch.held(scan.t)).toBe(false);
    }
    expect(seen).toHaveLength(1);
    expect(seen[0]!).toBeGreaterThan(1_000_000);
  });
});
