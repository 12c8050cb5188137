import { describe, expect, it } from 'vitest';
import { levels } from '../../src/pads/levels.js';
import { touches } from '../../src/pads/touches.js';
import type { Levels } from '../../src/pads/touch.js';
import { chain } from '../../src/time/chain.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS, PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';
import { measure, ownBuild } from '../sim/measuring.js';
import { randomOf } from '../sim/random.js';
import { simulate } from '../sim/session.js';
import { TUNES } from '../sim/tunes.js';
import { FULL } from '../sim/unit.js';

/** A pad at rest: white noise of 6 counts, hum of 12, calibrated from peak to peak, hum included. */
const SIGMA = 6;
const HUM = 12;
const BUILD = {
  wiring: [0],
  pads: [{ rest: 1_000, span: 200, noise: 5 * SIGMA + 2 * HUM, coupling: [] }],
};

function noiseAt(seconds: number, seed: number): number {
  const random = randomOf(seed, 'first noise');
  const scans: Scan[] = [];
  for (let t: Micros = 0; t <= seconds * SECOND; t += 4_000) {
    const hum = HUM * Math.sin((2 * Math.PI * 50 * t) / SECOND + seed);
    const raw = Math.round(1_000 + hum + SIGMA * random.gauss());
    scans.push({ type: 'scan', t, inputs: [0], raws: [raw] });
  }
  const plan = { pads: 1, build: BUILD, full: FULL, decided: false };
  const last = runStage(levels(plan, PLAIN), scans).at(-1) as Levels;
  return last.noise[0]! * 200;
}

describe('the noise of a calibrated pad', () => {
  it('is known within a second, hum taken out', () => {
    for (let seed = 1; seed <= 20; seed++) {
      expect(noiseAt(1, seed)).toBeGreaterThan(0.8 * SIGMA);
      expect(noiseAt(1, seed)).toBeLessThan(1.25 * SIGMA);
    }
  });

  it('is twice as high as calibrated while rest and hum are not known', () => {
    expect(noiseAt(0.1, 1)).toBeGreaterThan(2 * SIGMA);
  });

  it.each([100, 50, 20])('is not guessed from too few readings, %i ms apart: no touch', (apart) => {
    const pads = Array.from({ length: 20 }, () => ({
      rest: 1_000,
      span: 130,
      noise: 5 * SIGMA,
      coupling: [],
    }));
    const inputs = pads.map((_, pad) => pad);
    const plan = { pads: 20, build: { wiring: inputs, pads }, full: FULL, decided: false };
    for (let seed = 1; seed <= 60; seed++) {
      const random = randomOf(seed, 'slow board');
      const scans: Scan[] = [];
      for (let t: Micros = 0; t <= 5 * SECOND; t += apart * MILLISECOND) {
        const raws = pads.map(() => Math.round(1_000 + SIGMA * random.gauss()));
        scans.push({ type: 'scan', t, inputs, raws });
      }
      const told = runStage(chain('pads', levels(plan, PLAIN), touches(plan, PLAIN)), scans);
      expect(told.filter(({ type }) => type === 'strike')).toEqual([]);
    }
  });

  it('does not grow with a thumb that lies there first and comes again, and hide it', () => {
    // A noise that is followed quickly both ways rises over this thumb within its landing.
    const options = { grade: 'worst', seed: 2, player: { thumb: true } } as const;
    const tune = TUNES.find(({ name }) => name === 'lanterns along the lock')!;
    const session = simulate(options, tune);
    const { missed, added, wanted } = measure(session, PLAIN);
    expect(wanted).toBe(29);
    expect([missed, added]).toEqual([0, 0]);
    const plan = { pads: 20, build: ownBuild(session).build, full: FULL, decided: false };
    const told = runStage(levels(plan, PLAIN), session.take.scans);
    for (const { pluck } of BASS.strings) {
      const most = Math.max(
        ...told.map((one) =>
          one.type === 'levels' && one.t > SECOND ? one.noise[one.pads.indexOf(pluck)]! : 0,
        ),
      );
      expect(most).toBeLessThan(0.12);
    }
  });
});
