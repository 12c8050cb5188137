import { padCount } from '../../src/instrument/instrument.js';
import type { Build, Coupling, StringsInstrument } from '../../src/instrument/types.js';
import { driftOf, type Drift } from './drift.js';
import { GRADES, type Grade, type GradeName, type Range } from './grades.js';
import { randomOf, type Random } from './random.js';

/** A board reports 14 bits. */
export const FULL = 16_383;

/** What may be different from a unit of our own plan. */
export interface UnitOptions {
  /** Nominal mains frequency. */
  readonly mains: 50 | 60;
  /**
   * How compressive the response is: 0 is linear, else k of ln(1 + k·x) / ln(1 + k), x being the
   * touched share. Such a law stands for a sensor that counts a discharge time or whose cover layer
   * limits it; its form and k are memory, no source.
   */
  readonly compress: number;
  /** Input n is pad n, instead of wires in any order. */
  readonly straight: boolean;
  /** A touch lowers the reading, as it does on boards that measure a charge instead of a time. */
  readonly falls: boolean;
  /**
   * What the grade's share of coupling is a share of: of the neighbour's change in counts, or of its
   * touch (then a pad of twice the span also shows a neighbour's touch twice as far). Either is linear.
   */
  readonly shareOf: 'counts' | 'touch';
  /** A touching body is an aerial: the hum of a pad grows by this factor in a full touch. Memory. */
  readonly aerial: number;
}

export const OWN_UNIT: UnitOptions = {
  mains: 50,
  compress: 0,
  straight: false,
  falls: false,
  shareOf: 'counts',
  aerial: 1,
};

/** One simulated unit. All that it knows of itself is the truth; lists are by pad. */
export interface SimUnit extends UnitOptions {
  readonly name: GradeName;
  readonly grade: Grade;
  readonly seed: number;
  readonly instrument: StringsInstrument;
  readonly pads: number;
  /** `wiring[input]` is the pad on it. */
  readonly wiring: readonly number[];
  readonly rest: readonly number[];
  readonly span: readonly number[];
  readonly sigma: readonly number[];
  readonly hum: readonly number[];
  /** Phase of the hum at the session's start, radians. */
  readonly phase: readonly number[];
  /** What the grid really has, near the nominal frequency. */
  readonly mainsHz: number;
  /** What other pads' changes show on each, as a share of their change in counts. */
  readonly coupling: readonly (readonly Coupling[])[];
  readonly drift: readonly Drift[];
}

/**
 * Which pads lie side by side on the body: the next fret of a string, the same fret of the next
 * string, and neighbouring plucks (strings lie about 1 cm apart and frets about 3 cm: common practice).
 */
export function neighbours({ strings }: StringsInstrument): [number, number][] {
  const pairs: [number, number][] = [];
  strings.forEach(({ frets, pluck }, s) => {
    const next = strings[s + 1];
    frets.forEach((pad, f) => {
      const along = frets[f + 1];
      const across = next?.frets[f];
      if (along !== undefined) pairs.push([pad, along]);
      if (across !== undefined) pairs.push([pad, across]);
    });
    if (next) pairs.push([pluck, next.pluck]);
  });
  return pairs;
}

/** Both ways about alike, since one capacitance makes both; each pad's own gain makes them differ. */
function couple(pairs: [number, number][], pads: number, [low, high]: Range, random: Random) {
  const lists = Array.from({ length: pads }, (): Coupling[] => []);
  if (high === 0) return lists;
  const within = (share: number): number => Math.min(high, Math.max(low, share));
  for (const [a, b] of pairs) {
    const share = random.between(low, high);
    lists[a]!.push({ from: b, share: within(share * random.between(0.85, 1.15)) });
    lists[b]!.push({ from: a, share: within(share * random.between(0.85, 1.15)) });
  }
  return lists;
}

/** Builds one unit of a grade: the same one for the same grade, seed and options. */
export function buildUnit(
  name: GradeName,
  seed: number,
  instrument: StringsInstrument,
  options: Partial<UnitOptions> = {},
): SimUnit {
  const grade = GRADES[name];
  const pads = padCount(instrument);
  const numbers = Array.from({ length: pads }, (_, pad) => pad);
  const each = (label: string, [low, high]: Range): number[] => {
    const random = randomOf(seed, `unit/${label}`);
    return numbers.map(() => random.between(low, high));
  };
  const all = { ...OWN_UNIT, ...options };
  const span = each('span', grade.span);
  const pairs = neighbours(instrument);
  const shares = couple(pairs, pads, grade.coupling, randomOf(seed, 'unit/coupling'));
  const coupling = shares.map((list, pad) =>
    list.map(({ from, share }) => ({
      from,
      share: all.shareOf === 'counts' ? share : (share * span[pad]!) / span[from]!,
    })),
  );
  const mains = randomOf(seed, 'unit/mains');
  const common = mains.between(0, 2 * Math.PI);
  return {
    ...all,
    name,
    grade,
    seed,
    instrument,
    pads,
    wiring: all.straight ? numbers : randomOf(seed, 'unit/wiring').shuffled(numbers),
    // A finger adds 0.1–0.4 pF to a parasitic 6–15 pF (Cypress 001-66271, READ): rests are large
    // against spans, and long wires make them differ.
    rest: each('rest', [700, 2500]),
    span,
    sigma: each('sigma', grade.sigma),
    hum: each('hum', grade.hum),
    // One field reaches all wires, each a little differently.
    phase: numbers.map(() => common + 0.3 * mains.gauss()),
    // Grids keep within some hundredths of a hertz: so hum beats against the scan. Memory.
    mainsHz: all.mains + mains.normal(0, 0.02, -0.06, 0.06),
    coupling,
    drift: numbers.map((pad) => driftOf(seed, pad, grade.drift * span[pad]!)),
  };
}

/** The build that a perfect calibration at a time of the session would give (of a linear response). */
export function trueBuild(unit: SimUnit, seconds: number): Build {
  const sign = unit.falls ? -1 : 1;
  return {
    wiring: unit.wiring,
    pads: unit.rest.map((rest, pad) => ({
      rest: rest + unit.drift[pad]!(seconds),
      span: sign * unit.span[pad]!,
      noise: 5 * unit.sigma[pad]! + 2 * unit.hum[pad]!,
      coupling: unit.coupling[pad]!,
    })),
  };
}
