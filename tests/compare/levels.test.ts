import { describe, expect, it } from 'vitest';
import { padCount } from '../../src/instrument/instrument-pads.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { LevelEvent } from '../../src/pads/touch.js';
import { levels } from '../../src/pads/levels.js';
import type { SeatPlan } from '../../src/pipeline.js';
import { FINEST, levelCurves, type Curve } from '../../src/compare/levels.js';
import { demoReadings } from '../../src/demo/demo.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const PLAN: SeatPlan = {
  instrument: BASS,
  rules: PLAIN,
  pads: { pads: padCount(BASS), build: null, full: 16_383, decided: false },
};
const DECIDED: SeatPlan = { ...PLAN, pads: { ...PLAN.pads, full: 127, decided: true } };

/** The height of a line at a time. */
function heightAt({ times, levels: heights }: Curve, t: number): number {
  const after = times.findIndex((time) => time >= t);
  if (after <= 0) return heights[after] ?? NaN;
  const [from, to] = [times[after - 1]!, times[after]!];
  return heights[after - 1]! + ((heights[after]! - heights[after - 1]!) * (t - from)) / (to - from);
}

describe('the levels as lines', () => {
  const scans = [...demoReadings(BASS, 20, 5)];
  const curves = levelCurves(scans, PLAN);

  it('are those of the levels stage, within twice the finest step', () => {
    const told = runStage<WireEvent, LevelEvent>(levels(PLAN.pads, PLAN.rules), scans, 0);
    // Of two levels of a pad at one time the later counts.
    const last = new Map<string, { pad: number; t: number; level: number }>();
    for (const event of told) {
      if (event.type !== 'levels') continue;
      const { t } = event;
      event.pads.forEach((pad, i) => {
        last.set(`${String(pad)} ${String(t)}`, { pad, t, level: event.levels[i]! });
      });
    }
    const off = [...last.values()].map(({ pad, t, level }) =>
      Math.abs(heightAt(curves[pad]!, t) - level),
    );
    const worst = off.reduce((most, one) => Math.max(most, one), 0);
    expect(off.length).toBeGreaterThan(80_000);
    expect(worst).toBeLessThan(2 * FINEST);
    expect(worst).toBeGreaterThan(0);
  });

  it('have far fewer points than readings, in the order of time', () => {
    const points = curves.reduce((sum, { times }) => sum + times.length, 0);
    expect(points).toBeLessThan(0.2 * 20 * scans.length);
    for (const { times } of curves) {
      times.forEach((t, i) => {
        if (i > 0) expect(t).toBeGreaterThan(times[i - 1]!);
      });
    }
    expect(Math.max(...curves.map((curve) => Math.max(...curve.levels)))).toBeGreaterThan(0.7);
  });

  it('stand still, and do not slope, while a wire that tells only changes says nothing', () => {
    const [curve] = levelCurves(
      [
        { type: 'scan', t: 0, inputs: [0], raws: [0] },
        { type: 'scan', t: 1_000_000, inputs: [0], raws: [127] },
        { type: 'scan', t: 2_000_000, inputs: [0], raws: [0] },
      ],
      DECIDED,
    );
    expect(heightAt(curve!, 990_000)).toBe(0);
    expect(heightAt(curve!, 1_000_000)).toBe(1);
    expect(heightAt(curve!, 1_990_000)).toBe(1);
    expect(heightAt(curve!, 2_000_000)).toBe(0);
  });

  it('break where the unit was lost', () => {
    const [curve] = levelCurves(
      [
        { type: 'scan', t: 0, inputs: [0], raws: [127] },
        { type: 'reset', t: 10_000, why: 'lost' },
        { type: 'scan', t: 20_000, inputs: [0], raws: [127] },
      ],
      DECIDED,
    );
    expect(curve!.levels.map((level) => (Number.isNaN(level) ? 'break' : level))).toEqual([
      1,
      'break',
      1,
    ]);
  });
});
