import type { MeasuredTouch } from './measure.js';
import { localRest } from './signal.js';
import { median, type Series } from '../pads/series.js';

/** How many scans around a touch are looked at, so that a ghost is seen to come and go with it. */
const AROUND = 15;

/**
 * How alike two movements must be for one to be the other's ghost, of what the pad's own noise leaves
 * room for. Another finger that came a little earlier or later is less alike.
 */
const ALIKE = 0.8;
/** A likeness under this is noise: 1/√n of the 30 readings around a touch alone is 0.18. */
const LEAST_ALIKE = 0.3;

/** Of the touched pad's change, less than this is not told from noise. */
const LEAST_SHARE = 0.01;

/** Where so many others move this far with a touch, a chord was played; one bridge joins two. */
const CHORD = 2;
const FAR = 0.5;

/** Peak to peak over standard deviation: 2.8 of a sine, 5 of normal noise in 100 readings (memory). */
const PEAK_TO_SIGMA = 4;

interface Follows {
  readonly share: number;
  readonly alike: number;
  /** The likeness that a ghost of this share would have in the pad's noise. */
  readonly possible: number;
}

/** The least-squares share of the movement `a` in `b`, and their correlation. */
function follows(a: Float64Array, b: Float64Array, noise: number): Follows {
  let [aa, ab, bb, sumA, sumB] = [0, 0, 0, 0, 0];
  for (let k = 0; k < a.length; k++) {
    aa += a[k]! * a[k]!;
    ab += a[k]! * b[k]!;
    bb += b[k]! * b[k]!;
    sumA += a[k]!;
    sumB += b[k]!;
  }
  const n = a.length;
  const share = ab / aa;
  const varA = (aa - (sumA * sumA) / n) / n;
  const varB = (bb - (sumB * sumB) / n) / n;
  const alike = Math.abs(ab - (sumA * sumB) / n) / n / Math.sqrt(varA * varB);
  const moved = share * share * varA;
  const possible = Math.sqrt(moved / (moved + (noise / PEAK_TO_SIGMA) ** 2));
  return { share, alike: Number.isNaN(alike) ? 0 : alike, possible };
}

/**
 * `shares[from][pad]`: which share of the raw change of touched pad `from` also shows on `pad`; the
 * middle of all touches of `from`, 0 where it was not seen to come and go with most of them, NaN
 * where `from` was not touched by itself.
 *
 * @param quiet by pad, the stretches of samples in which it was at rest
 * @param noises peak to peak of each pad at rest
 */
export function couplingShares(
  { raws }: Series,
  touches: readonly MeasuredTouch[],
  quiet: readonly (readonly (readonly [number, number])[])[],
  noises: readonly (number | null)[],
): number[][] {
  const seen = raws.map(() => raws.map((): number[] => []));
  for (const touch of touches) {
    const from = Math.max(0, touch.from - AROUND);
    const to = touch.to + AROUND;
    const own = raws[touch.pad]!.subarray(from, to).map((raw) => raw - touch.rest);
    const shares = raws.map((other, pad) => {
      if (pad === touch.pad) return NaN;
      const rest = localRest(other, quiet[pad]!, touch.from);
      if (rest === null) return NaN;
      const moved = other.subarray(from, to).map((raw) => raw - rest);
      const { share, alike, possible } = follows(own, moved, noises[pad] ?? 0);
      const enough = Math.max(LEAST_ALIKE, ALIKE * possible);
      return alike >= enough && Math.abs(share) >= LEAST_SHARE ? share : 0;
    });
    if (shares.filter((share) => Math.abs(share) >= FAR).length >= CHORD) continue;
    shares.forEach((share, pad) => seen[touch.pad]![pad]!.push(share));
  }
  return seen.map((pads, from) =>
    pads.map((shares, pad) => (pad === from ? 1 : Number(median(shares).toFixed(4)))),
  );
}
