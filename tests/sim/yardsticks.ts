import type { StringsInstrument } from '../../src/instrument/types.js';
import type { Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import type { Heard } from './check-score.js';
import type { SimSession } from './session.js';
import type { SimUnit } from './unit.js';

/**
 * Two players of our own, apart from src, that show how hard a simulated unit is: one that knows
 * little and must fail at times, and one that is told everything and must not.
 */
interface Pads {
  /** Which pads are touched after a scan. */
  readonly touched: readonly boolean[];
}

/** A pluck sounds the highest touched fret at once. */
function notesOf({ strings }: StringsInstrument): (t: Micros, pads: Pads) => Heard[] {
  let before: readonly boolean[] = [];
  return (t, { touched }) => {
    const notes = strings.flatMap(({ open, frets, pluck }) => {
      if (!touched[pluck] || before[pluck]) return [];
      return [{ t, note: open + frets.reduce((stop, pad, i) => (touched[pad] ? i + 1 : stop), 0) }];
    });
    before = [...touched];
    return notes;
  };
}

/** What all pads read, in shares of a full touch from given rests. */
function levelsOf(unit: SimUnit, scan: Scan, seconds: number): number[] {
  const levels = new Array<number>(unit.pads).fill(0);
  scan.raws.forEach((raw, input) => {
    const pad = unit.wiring[input]!;
    const change = raw - unit.rest[pad]! - unit.drift[pad]!(seconds);
    levels[pad] = ((unit.falls ? -1 : 1) * change) / unit.span[pad]!;
  });
  return levels;
}

/**
 * One fixed threshold with the true rest (as it was when the take began) and the true span: a pad is
 * touched from the first reading over it until none was for the time to lift.
 *
 * @param threshold in shares of a full touch
 * @param lift in microseconds
 */
export function fixedThreshold(
  { unit, take }: SimSession,
  threshold = 0.4,
  lift: Micros = 12_000,
): Heard[] {
  const over = unit.rest.map(() => -Infinity);
  const sound = notesOf(unit.instrument);
  return take.scans.flatMap((scan) => {
    levelsOf(unit, scan, take.begins / 1_000_000).forEach((level, pad) => {
      if (level > threshold) over[pad] = scan.t;
    });
    return sound(scan.t, { touched: over.map((last) => scan.t - last < lift) });
  });
}

/** (I + C)·o = r by repeated substitution: shares of all neighbours together stay under 1. */
function unmixed(unit: SimUnit, levels: readonly number[]): number[] {
  const mixed = levels.map((level, pad) => level * unit.span[pad]!);
  let own = mixed;
  for (let i = 0; i < 40; i++) {
    own = mixed.map((value, pad) =>
      unit.coupling[pad]!.reduce((rest, { from, share }) => rest - share * own[from]!, value),
    );
  }
  return own.map((value, pad) => value / unit.span[pad]!);
}

/**
 * Told the truth: the rest at every moment, the span, what is coupled to what, and the noise. Plucks
 * wait 30 ms under the threshold before they count as lifted, frets do not wait at all.
 */
export function toldTheTruth({ unit, take }: SimSession, lift: Micros = 30_000): Heard[] {
  const least = unit.span.map((span, pad) => {
    const hum = unit.hum[pad]! + 4 * unit.sigma[pad]!;
    return Math.max(0.2, (1.3 * hum) / span);
  });
  const plucks = new Set(unit.instrument.strings.map(({ pluck }) => pluck));
  const over = unit.rest.map(() => -Infinity);
  const sound = notesOf(unit.instrument);
  return take.scans.flatMap((scan) => {
    const levels = levelsOf(unit, scan, (take.begins + scan.t) / 1_000_000);
    unmixed(unit, levels).forEach((level, pad) => {
      if (level > least[pad]!) over[pad] = scan.t;
    });
    const wait = (pad: number): Micros => (plucks.has(pad) ? lift : 1);
    return sound(scan.t, { touched: over.map((last, pad) => scan.t - last < wait(pad)) });
  });
}
