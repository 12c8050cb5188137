import { printedOrder } from '../../src/instrument/instrument-pads.js';
import type { Unit } from '../../src/check/check.js';
import { readingsOf, seededNumbers, type Gesture } from '../../src/demo/gestures.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';

export const PADS = 20;
export const FULL = 16_383;
export const STRAIGHT: readonly number[] = Array.from({ length: PADS }, (_, pad) => pad);

const MS = 1_000;
const LET_GO = 2_000 * MS;
const EACH = 600 * MS;
const HELD = 250 * MS;

/** When pad number `place` of an order is touched. */
export const touchedAt = (place: number): number => LET_GO + place * EACH;

/** Every pad of an order touched once, fully, one after the other. */
export function touching(order: readonly number[] = printedOrder(BASS)): Gesture[] {
  return order.map((pad, i) => ({
    pad,
    at: touchedAt(i),
    until: touchedAt(i) + HELD,
    strength: 1,
  }));
}

/** A unit of 20 alike pads: rest 1000, a touch adds 500 counts, noise 16 counts: about 31:1. */
export const SOUND = {
  rest: STRAIGHT.map(() => 1_000),
  span: STRAIGHT.map(() => 500),
  noise: 16,
  full: FULL,
};

export function takeOf(gestures = touching(), unit = SOUND, seed = 3): Scan[] {
  const last = gestures.reduce((end, { until }) => Math.max(end, until), LET_GO);
  return [...readingsOf(gestures, unit, last + 1_000 * MS, seed)];
}

export const UNIT: Unit = { instrument: BASS, wiring: STRAIGHT, full: FULL, build: null };

/** Rewrites readings; what a rewrite answers is rounded and kept within the scale. */
export type Rewrite = (input: number, raw: number, t: number, all: readonly number[]) => number;

export function rewritten(scans: readonly Scan[], rewrite: Rewrite): Scan[] {
  return scans.map((scan) => ({
    ...scan,
    raws: scan.inputs.map((input, i) =>
      Math.min(FULL, Math.max(0, Math.round(rewrite(input, scan.raws[i]!, scan.t, scan.raws)))),
    ),
  }));
}

/** A sine on some inputs. Size is peak to peak. */
export function withHum(inputs: readonly number[], hz: number, size: number): Rewrite {
  return (input, raw, t) =>
    inputs.includes(input) ? raw + (size / 2) * Math.sin(2e-6 * Math.PI * hz * t) : raw;
}

/** Even noise on top. Size is peak to peak. */
export function withNoise(inputs: readonly number[], size: number, seed = 9): Rewrite {
  const random = seededNumbers(seed);
  return (input, raw) => (inputs.includes(input) ? raw + (random() - 0.5) * size : raw);
}

/** A share of how far input `from` is from its rest of 1000 also shows on input `to`. */
export function withCoupling(from: number, to: number, share: number): Rewrite {
  return (input, raw, _, all) => (input === to ? raw + share * (all[from]! - 1_000) : raw);
}

export function withDrift(inputs: readonly number[], countsPerSecond: number): Rewrite {
  return (input, raw, t) => (inputs.includes(input) ? raw + (countsPerSecond * t) / 1e6 : raw);
}

export function always(input: number, value: number): Rewrite {
  return (one, raw) => (one === input ? value : raw);
}

/** Exchanges the wires of two inputs. */
export function withSwapped(a: number, b: number): Rewrite {
  return (input, raw, _, all) => (input === a ? all[b]! : input === b ? all[a]! : raw);
}
