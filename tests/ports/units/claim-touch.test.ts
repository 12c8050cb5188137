import { describe, expect, it } from 'vitest';
import { touchWatch } from '../../../src/ports/units/claim-touch.js';
import { demoUnit } from '../../../src/demo/demo.js';
import { readingsOf } from '../../../src/demo/gestures.js';
import { simulate } from '../../sim/session.js';

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

  it.each(['clean', 'usual', 'worst'] as const)(
    'is seen at every touch alone of a simulated unit built as "%s", and in two minutes of nobody on none',
    (grade) => {
      const { calibration, take } = simulate({ grade, seed: 3 }, 120_000_000);
      const begun = (at: number) => calibration.scans.filter(({ t }) => t >= at - 400_000);
      // The first of a pad's touches, where the one before it was over long enough ago.
      const alone = calibration.contacts.filter(
        ({ at }) => !calibration.contacts.some((one) => one.at < at && one.until > at - 450_000),
      );
      expect(new Set(alone.map(({ pad }) => pad)).size).toBeGreaterThan(15);
      for (const { at, until } of alone) {
        const watch = touchWatch('frames');
        const seen = begun(at).find((scan) => watch.see(scan));
        expect(seen!.t).toBeGreaterThanOrEqual(at);
        expect(seen!.t).toBeLessThan(until);
      }
      const watch = touchWatch('frames');
      expect(take.scans.filter((scan) => watch.see(scan))).toEqual([]);
    },
  );

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
