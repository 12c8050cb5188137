import { describe, expect, it } from 'vitest';
import { seatWay, type SeatPlan } from '../../src/pipeline.js';
import type { SeatEvent } from '../../src/playing/note.js';
import { demoReadings } from '../../src/demo/demo.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import type { Swap, WireEvent } from '../../src/wire/scan.js';
import { BASS, bassPlan, PLAIN, withStrings } from '../support/bass.js';
import { planOf, shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

const SEED = 20_261_125;

function* withSwaps(swaps: number, make: (t: number, i: number) => Swap): Generator<WireEvent> {
  const readings = [...demoReadings(BASS, 20)];
  const random = seededNumbers(SEED);
  const last = readings.at(-1)!.t;
  const times = Array.from({ length: swaps }, () => Math.floor(random() * last)).sort(
    (a, b) => a - b,
  );
  let next = 0;
  for (const scan of readings) {
    for (; next < times.length && times[next]! <= scan.t; next++) yield make(times[next]!, next);
    yield scan;
  }
}

function notes(plan: SeatPlan, events: Iterable<WireEvent>): SeatEvent[] {
  return runStage(seatWay(plan), events).filter(({ type }) => type !== 'limits');
}

describe('rules that are swapped while somebody plays', () => {
  const plain = notes(bassPlan(), demoReadings(BASS, 20));

  it(`change nothing where they are the same, two hundred times (seed ${String(SEED)})`, () => {
    expect(plain.length).toBeGreaterThan(50);
    const same = withSwaps(200, (t) => ({ type: 'swap', t, rules: { ...PLAIN } }));
    expect(notes(bassPlan(), same)).toEqual(plain);
  });

  it('lose no note and leave none sounding, to and fro two hundred times', () => {
    const sets = [PLAIN, withStrings({ slide: true, 'hammer-on': true, 'pull-off': true })];
    const swapped = notes(
      bassPlan(),
      withSwaps(200, (t, i) => ({ type: 'swap', t, rules: sets[i % 2]! })),
    );
    const plucks = (all: SeatEvent[]): unknown[] =>
      all.flatMap((event) =>
        event.type === 'on' && event.how === 'pluck' ? [[event.t, event.note]] : [],
      );
    expect(plucks(swapped)).toEqual(plucks(plain));
    const ons = swapped.filter(({ type }) => type === 'on').length;
    expect(swapped.filter(({ type }) => type === 'off')).toHaveLength(ons);
  });

  it('an instrument of other pads than its build is of plays without the build', () => {
    const pads = Array.from({ length: 20 }, () => ({
      rest: 1_000,
      span: 600,
      noise: 4,
      coupling: [],
    }));
    const build = { wiring: pads.map((_, pad) => pad), pads };
    const plan = { ...bassPlan(), pads: { ...bassPlan().pads, build } };
    const keys = shipped('keys-13');
    const swap: Swap = { type: 'swap', t: 0, instrument: keys };
    const played = notes(plan, [swap, ...demoReadings(keys, 13)]);
    expect(played).toEqual([
      { type: 'reset', t: 0, why: 'reload' },
      ...notes(planOf(keys), demoReadings(keys, 13)),
    ]);
    expect(played.length).toBeGreaterThan(20);
  });

  it('another tuning ends what sounds and counts from the next touch', () => {
    const higher = {
      ...BASS,
      strings: BASS.strings.map((one) => ({ ...one, open: one.open + 12 })),
    };
    const at = 9_000_000;
    const swapped = notes(
      bassPlan(),
      (function* () {
        let done = false;
        for (const scan of demoReadings(BASS, 20)) {
          if (!done && scan.t >= at) {
            done = true;
            yield { type: 'swap', t: at, instrument: higher };
          }
          yield scan;
        }
      })(),
    );
    const before = swapped.filter((event) => event.type === 'on' && event.t < at);
    const after = swapped.filter((event) => event.type === 'on' && event.t > at);
    expect(before.every((event) => event.type === 'on' && event.note <= 47)).toBe(true);
    expect(after.length).toBeGreaterThan(5);
    expect(after.every((event) => event.type === 'on' && event.note >= 40)).toBe(true);
    expect(swapped.some((event) => event.type === 'reset' && event.why === 'reload')).toBe(true);
  });
});
