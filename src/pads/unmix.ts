import type { PadBuild } from '../instrument/types.js';

/** For each pad, which others show on it, and which share of their level adds to its own. */
export type Unmixing = readonly {
  readonly from: readonly number[];
  readonly share: readonly number[];
}[];

/** Each halves what is left of an error several times over: shares are small, and neighbours few. */
const SWEEPS = 3;

/**
 * What shows of each pad on which others, in levels, from shares of raw changes.
 *
 * @returns null where no pad lists a coupling
 */
export function unmixing(pads: readonly (PadBuild | null)[]): Unmixing | null {
  if (!pads.some((pad) => pad !== null && pad.coupling.length > 0)) return null;
  return pads.map((pad, index) => {
    const listed = (pad?.coupling ?? []).filter(({ from }) => from !== index && pads[from]);
    return {
      from: listed.map(({ from }) => from),
      share: listed.map(({ from, share }) => (share * pads[from]!.span) / pad!.span),
    };
  });
}

/**
 * The levels that are the pads' own, by Gauss-Seidel sweeps over read = own + shares · own.
 *
 * A finger only adds, so nobody's own level below 0 puts anything on a neighbour: noise, drift and a
 * share that is wrong somewhat (as on a sensor whose response is not linear, where it is learned from
 * full touches and differs for light ones) stay where they are, instead of growing from pad to pad
 * as in an exact inverse.
 *
 * @param read the levels as read, by pad
 * @param own is filled with the result
 */
export function unmix(unmixing: Unmixing, read: Float64Array, own: Float64Array): void {
  own.set(read);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (let i = 0; i < own.length; i++) {
      const { from, share } = unmixing[i]!;
      let level = read[i]!;
      for (let k = 0; k < from.length; k++) level -= share[k]! * Math.max(0, own[from[k]!]!);
      own[i] = level;
    }
  }
}
