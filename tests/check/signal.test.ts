import { describe, expect, it } from 'vitest';
import { calibratePads } from '../../src/calibration/calibrate.js';
import { checkUnit } from '../../src/check/check.js';
import { quietStretches, restOf, signalToNoise } from '../../src/check/signal.js';
import { randomOf } from '../sim/random.js';
import { simulate } from '../sim/session.js';
import { BASS } from '../support/bass.js';
import { FULL, PADS, rewritten, STRAIGHT, takeOf, UNIT } from './takes.js';

describe('signal to noise', () => {
  it('is 5:1 in the worked example of Cypress 001-64846 §2.4.1: 6060 − 5925 over 27', () => {
    expect(signalToNoise(6060, 5925, 27)).toBe(5);
  });

  it('does not mind which way a touch moves the readings', () => {
    expect(signalToNoise(5925, 6060, 27)).toBe(5);
  });

  it('takes noise below one count, which a board cannot report, for one count', () => {
    expect(signalToNoise(103, 100, 0)).toBe(3);
  });

  it('finds the worked example again in a take that has its figures', () => {
    const quiet = { ...UNIT_OF_EXAMPLE, noise: 0 };
    const flicker = [-13, -4, 5, 14, 5, -4];
    const scans = rewritten(takeOf(undefined, quiet), (_, raw, t) => {
      return raw + flicker[(t / 4_000) % 6]!;
    });
    for (const pad of checkUnit(scans, UNIT).check.pads) {
      expect(pad.noise).toBe(27);
      expect(Math.abs(pad.rest! - 5925)).toBeLessThan(1);
      expect(Math.abs(pad.touched! - 6060)).toBeLessThan(2);
      expect(pad.ratio).toBeCloseTo(5, 1);
    }
  });

  it('takes peak to peak over 100 readings: 5.015 σ of normal noise (d2 of control charts, memory)', () => {
    const random = randomOf(4, 'normal');
    const raws = Float64Array.from({ length: 60_000 }, () => 1_000 + 20 * random.gauss());
    const times = Array.from(raws, (_, k) => 4_000 * k);
    const rest = restOf(raws, quietStretches(times, []))!;
    expect(rest.noise / 20).toBeGreaterThan(4.9);
    expect(rest.noise / 20).toBeLessThan(5.1);
    expect(rest.rest).toBeCloseTo(1_000, 0);
  });

  it('agrees with what calibrating learns of the same take', () => {
    for (const grade of ['clean', 'usual', 'worst'] as const) {
      const { unit, calibration } = simulate({ grade, seed: 5 }, 0);
      const { wiring } = unit;
      const learned = calibratePads(calibration.scans, wiring, PADS, FULL).pads;
      const { check } = checkUnit(calibration.scans, { ...UNIT, wiring });
      check.pads.forEach(({ ratio }, pad) => {
        const { span, noise } = learned[pad]!;
        expect(ratio! / (Math.abs(span) / noise)).toBeGreaterThan(0.85);
        expect(ratio! / (Math.abs(span) / noise)).toBeLessThan(1.18);
      });
    }
  });
});

const UNIT_OF_EXAMPLE = {
  rest: STRAIGHT.map(() => 5_925),
  span: STRAIGHT.map(() => 135),
  full: FULL,
};

describe('a simulated unit, whose truth is known', () => {
  it.each(['clean', 'usual', 'worst'] as const)(
    '%s: every touch, span, hum and neighbour',
    (grade) => {
      for (const seed of [1, 2, 3]) {
        const { unit, calibration } = simulate({ grade, seed }, 0);
        const { check } = checkUnit(calibration.scans, { ...UNIT, wiring: unit.wiring });
        check.pads.forEach((pad, i) => {
          expect(pad.touches).toBe(2);
          // A person asked to touch firmly gives 0.7 to 1.05 of a full touch there.
          expect((pad.touched! - pad.rest!) / unit.span[i]!).toBeGreaterThan(0.65);
          expect((pad.touched! - pad.rest!) / unit.span[i]!).toBeLessThan(1.15);
          if (pad.hum) {
            expect(pad.hum.hz).toBe(50);
            expect(Math.abs(pad.hum.size - 2 * unit.hum[i]!)).toBeLessThan(3);
          }
          for (const { from, share } of unit.coupling[i]!) {
            const level = (share * unit.span[from]!) / unit.span[i]!;
            const found = pad.ghosts.find((ghost) => ghost.from === from)?.level ?? 0;
            // Only neighbours large enough to matter must be seen, and within a few percent.
            if (level > 0.2) expect(Math.abs(found - level)).toBeLessThan(0.12);
          }
          for (const { from, level } of pad.ghosts) {
            const real = unit.coupling[i]!.some((one) => one.from === from);
            if (!real) expect(level).toBeLessThan(0.2);
          }
        });
        expect(check.exchanges).toEqual([]);
        expect(check.timing.late).toBe(0);
        if (grade === 'clean') expect(check.fit).toBe(BASS.strings.length * 5);
      }
    },
  );
});
