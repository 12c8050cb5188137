import type { Coupling } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { newFinger, press, release, shareAt, type Finger } from './finger.js';
import { seededNumbers } from './gestures.js';

/** Which of two kinds of builder made a unit, and whether its wires are in the order of the pads. */
export interface UnitMaking {
  readonly built: 'carefully' | 'hastily';
  readonly wires: 'straight' | 'mixed';
}

/** How the pads of one made-up unit read, in raw counts; lists are by pad. */
export interface ScreenUnit {
  /** `wiring[input]` is the pad on it. */
  readonly wiring: readonly number[];
  readonly rest: readonly number[];
  /** The change from rest to a full touch. */
  readonly span: readonly number[];
  /** Standard deviation of a reading. */
  readonly sigma: readonly number[];
  readonly coupling: readonly (readonly Coupling[])[];
  readonly full: number;
}

type Range = readonly [low: number, high: number];

/**
 * A signal is to be at least five times its peak-to-peak noise (Cypress 001-64846 §2.4.1), and peak to
 * peak is about five standard deviations: the careful unit is far over that, the hasty one not by much.
 * Rests are large against spans, as a finger adds 0.1–0.4 pF to 6–15 pF (Cypress 001-66271).
 */
const REST: Range = [700, 2_500];
const MADE: Readonly<
  Record<
    UnitMaking['built'],
    { readonly span: Range; readonly sigma: Range; readonly share: Range }
  >
> = {
  carefully: { span: [330, 430], sigma: [1, 2], share: [0.005, 0.02] },
  hastily: { span: [260, 430], sigma: [3, 5], share: [0.04, 0.1] },
};
/** On the noisy pad of a hasty unit a full touch is about three times the noise. */
const NOISY = 22;

/**
 * A made-up unit: the same one for the same name. A hasty one has a pad that does not answer, and one
 * that is too noisy.
 *
 * @param order its pads as they are printed: those beside each other there lie side by side
 */
export function screenUnit(
  name: string,
  order: readonly number[],
  full: number,
  { built, wires }: UnitMaking,
): ScreenUnit {
  const random = seededNumbers(hash(name));
  const { span, sigma, share } = MADE[built];
  const each = ([low, high]: Range): number[] => order.map(() => low + (high - low) * random());
  const [rests, spans, sigmas] = [each(REST), each(span), each(sigma)];
  const coupling = order.map((): Coupling[] => []);
  order.slice(1).forEach((pad, i) => {
    const before = order[i]!;
    const part = share[0] + (share[1] - share[0]) * random();
    coupling[pad]!.push({ from: before, share: part });
    coupling[before]!.push({ from: pad, share: part });
  });
  const mixed = shuffled(order, random);
  if (built === 'hastily') {
    spans[mixed[0]!] = 0;
    if (mixed.length > 1) sigmas[mixed[1]!] = NOISY;
  }
  const straight = order.map((_, input) => input);
  return {
    wiring: wires === 'mixed' ? shuffled(straight, random) : straight,
    rest: rests,
    span: spans,
    sigma: sigmas,
    coupling,
    full,
  };
}

/** Somebody's fingers on a made-up unit. */
export interface ScreenHand {
  press(t: Micros, pad: number, strength: number): void;
  release(t: Micros, pad: number): void;
  /** All fingers are gone at once. */
  leave(): void;
  /** What the board reads at `t`, which never falls. */
  scan(t: Micros): Scan;
}

export function screenHand(unit: ScreenUnit, name: string): ScreenHand {
  const { wiring, rest, span, sigma, coupling, full } = unit;
  const noise = normalNumbers(seededNumbers(hash(`${name}/noise`)));
  const fingers = rest.map((): Finger => newFinger());
  const inputs = wiring.map((_, input) => input);
  const changes = new Float64Array(rest.length);

  return {
    press(t, pad, strength) {
      const finger = fingers[pad];
      if (finger) press(finger, t, strength);
    },
    release(t, pad) {
      const finger = fingers[pad];
      if (finger) release(finger, t);
    },
    leave() {
      fingers.forEach((finger) => Object.assign(finger, newFinger()));
    },
    scan(t) {
      fingers.forEach((finger, pad) => (changes[pad] = shareAt(finger, t) * span[pad]!));
      const raws = wiring.map((pad) => {
        let change = changes[pad]!;
        for (const { from, share } of coupling[pad]!) change += share * changes[from]!;
        const raw = Math.round(rest[pad]! + change + sigma[pad]! * noise());
        return Math.min(full, Math.max(0, raw));
      });
      return { type: 'scan', t, inputs, raws };
    },
  };
}

/** FNV-1a, 32 bits (offset 2166136261, prime 16777619). Memory. */
function hash(text: string): number {
  let value = 2_166_136_261;
  for (let i = 0; i < text.length; i++) {
    value = Math.imul(value ^ text.charCodeAt(i), 16_777_619);
  }
  return value >>> 0;
}

/** A list in another order, every order as likely (Fisher and Yates). */
function shuffled(list: readonly number[], random: () => number): number[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

/** Normally distributed numbers, mean 0 and deviation 1: Marsaglia's polar method. */
function normalNumbers(random: () => number): () => number {
  let spare = NaN;
  return () => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = NaN;
      return kept;
    }
    for (;;) {
      const [x, y] = [2 * random() - 1, 2 * random() - 1];
      const square = x * x + y * y;
      if (square >= 1 || square === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(square)) / square);
      spare = y * scale;
      return x * scale;
    }
  };
}
