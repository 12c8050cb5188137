import { describe, expect, it } from 'vitest';
import type { Build, PadBuild } from '../../src/instrument/types.js';
import { levels } from '../../src/pads/levels.js';
import { LEARN_FOR } from '../../src/pads/learn.js';
import type { LevelEvent } from '../../src/pads/touch.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const scan = (t: number, ...raws: number[]): WireEvent => ({
  type: 'scan',
  t,
  inputs: raws.map((_, input) => input),
  raws,
});
const pad = (rest: number, span: number, coupling: PadBuild['coupling'] = []): PadBuild => ({
  rest,
  span,
  noise: 10,
  coupling,
});
const build = (pads: (PadBuild | null)[], wiring = pads.map((_, i) => i)): Build => ({
  wiring,
  pads,
});
/** The last level of each pad. */
function last(events: LevelEvent[]): number[] {
  const result: number[] = [];
  for (const event of events) {
    if (event.type !== 'levels') continue;
    event.pads.forEach((index, i) => (result[index] = Number(event.levels[i]!.toFixed(3))));
  }
  return result;
}
const calibrated = (of: Build, events: WireEvent[]): LevelEvent[] =>
  runStage(
    levels({ pads: of.pads.length, build: of, full: 16_383, decided: false }, PLAIN),
    events,
  );
const uncalibrated = (events: WireEvent[], full = 16_383): LevelEvent[] =>
  runStage(levels({ pads: 2, build: null, full, decided: false }, PLAIN), events);

describe('levels of a calibrated unit', () => {
  it('are 0 at rest and 1 at a full touch, also where a touch lowers the reading', () => {
    const of = build([pad(1_000, 500), pad(9_000, -400)]);
    expect(last(calibrated(of, [scan(0, 1_000, 9_000)]))).toEqual([0, 0]);
    expect(last(calibrated(of, [scan(0, 1_500, 8_600)]))).toEqual([1, 1]);
    expect(last(calibrated(of, [scan(0, 1_250, 8_900)]))).toEqual([0.5, 0.25]);
  });

  it('go to the pad that the wiring says, and leave out what is not wired or not fit', () => {
    const of = build([pad(100, 100), null, pad(200, 100)], [2, 0, 1]);
    const heard = calibrated(of, [scan(0, 300, 150, 999, 5)]);
    expect(heard).toMatchObject([{ type: 'levels', t: 0, pads: [2, 0], levels: [1, 0.5] }]);
  });

  it('take a neighbour’s share out', () => {
    // Pad 1 shows 10 % of pad 0 and pad 0 shows 20 % of pad 1; both are really at a full touch.
    const of = build([
      pad(0, 500, [{ from: 1, share: 0.2 }]),
      pad(0, 300, [{ from: 0, share: 0.1 }]),
    ]);
    const mixed = scan(0, 500 + 0.2 * 300, 300 + 0.1 * 500);
    expect(last(calibrated(of, [mixed]))).toEqual([1, 1]);
    expect(last(calibrated(of, [scan(0, 500, 50)]))).toEqual([1, 0]);
  });

  it('follow slow drift at rest, and stand still under a touch of any length', () => {
    const of = build([pad(1_000, 500)]);
    const drift: WireEvent[] = [];
    for (let t = 0; t <= 60_000_000; t += 4_000) drift.push(scan(t, 1_000 + Math.round(t / 1e6)));
    expect(Math.abs(last(calibrated(of, drift))[0]!)).toBeLessThan(0.02);

    const held: WireEvent[] = [];
    for (let t = 0; t <= 60_000_000; t += 4_000) held.push(scan(t, 1_480));
    expect(last(calibrated(of, held))[0]).toBe(0.96);
  });

  it('recover from a calibration with a finger on the pad', () => {
    const of = build([pad(1_500, 500)]);
    const lifted = [0, 20, 40, 60, 80].map((ms) => scan(ms * 1_000, 1_000));
    expect(last(calibrated(of, [...lifted, scan(84_000, 1_500)]))[0]).toBeCloseTo(1, 1);
  });
});

describe('levels of a unit without a calibration', () => {
  it('come only after rest was watched, and show a touch as one', () => {
    const quiet: WireEvent[] = [];
    for (let t = 0; t <= LEARN_FOR; t += 4_000)
      quiet.push(scan(t, 1_000 + (t % 3), 2_000 - (t % 3)));
    expect(uncalibrated(quiet.slice(0, -1))).toEqual([]);
    const heard = last(uncalibrated([...quiet, scan(LEARN_FOR + 4_000, 1_400, 2_000)]));
    expect(heard[0]).toBeGreaterThan(0.5);
    expect(heard[1]).toBeLessThan(0.1);
  });

  it('are right although a pad was touched while rest was watched', () => {
    const start: WireEvent[] = [];
    for (let t = 0; t <= LEARN_FOR; t += 4_000) {
      start.push(scan(t, t > 100_000 && t < 200_000 ? 1_500 : 1_000, 2_000));
    }
    const after = [scan(400_000, 1_000, 2_000), scan(404_000, 1_500, 2_000)];
    const heard = uncalibrated([...start, ...after]);
    expect(last(heard.slice(0, -1))[0]).toBeCloseTo(0, 1);
    expect(last(heard)[0]).toBeGreaterThan(0.9);
  });

  it('play a wire that tells only changes from the first touch on after the start', () => {
    const one = (t: number, input: number, raw: number): WireEvent => ({
      type: 'scan',
      t,
      inputs: [input],
      raws: [raw],
    });
    // The first message of all is a touch of pad 0: it may be lost, pad 1's later one may not.
    const heard = uncalibrated(
      [
        one(0, 0, 90),
        one(80_000, 0, 0),
        one(900_000, 1, 80),
        one(990_000, 1, 0),
        one(1_500_000, 0, 90),
      ],
      127,
    );
    const at = (t: number, index: number): number | undefined => {
      for (const event of [...heard].reverse()) {
        if (event.type !== 'levels' || event.t !== t) continue;
        const i = event.pads.indexOf(index);
        if (i >= 0) return event.levels[i];
      }
      return undefined;
    };
    expect(at(900_000, 1)).toBeGreaterThan(0.9);
    expect(at(990_000, 1)).toBe(0);
    expect(at(1_500_000, 0)).toBeGreaterThan(0.9);
  });

  it('take every reading over 0 for a touch where the board decides itself', () => {
    const stage = levels({ pads: 2, build: null, full: 127, decided: true }, PLAIN);
    const heard = runStage(stage, [{ type: 'scan', t: 7, inputs: [1], raws: [127] }]);
    expect(heard).toEqual([
      { type: 'levels', t: 7, pads: [0, 1], levels: [0, 0], noise: [0, 0] },
      { type: 'levels', t: 7, pads: [1], levels: [1], noise: [0] },
    ]);
  });

  it('are learned again after the unit was away', () => {
    const lost: WireEvent = { type: 'reset', t: 400_000, why: 'lost' };
    const before: WireEvent[] = [];
    for (let t = 0; t <= LEARN_FOR + 4_000; t += 4_000) before.push(scan(t, 1_000, 1_000));
    const heard = uncalibrated([...before, lost, scan(500_000, 3_000, 3_000)]);
    expect(heard.at(-1)).toEqual(lost);
  });
});
