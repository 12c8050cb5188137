import { padCount } from './instrument-pads.js';
import type { Build, Instrument } from './types.js';

/** Why a build cannot be one of this instrument: what was found and what is allowed. */
export interface Misfit {
  readonly found: string;
  readonly allowed: string;
}

/**
 * Whether a build can be one of this kind of instrument: it was calibrated for as many pads, and its
 * wires lead to no others. A pad without a wire or without calibration does fit; it stays silent.
 *
 * @returns null where it fits
 */
export function misfit(instrument: Instrument, build: Build): Misfit | null {
  const count = padCount(instrument);
  const allowed = `a build of ${String(count)} pads, as "${instrument.name}" has`;
  if (build.pads.length !== count) {
    return { found: `a build of ${String(build.pads.length)} pads`, allowed };
  }
  const input = build.wiring.findIndex((pad) => pad !== null && pad >= count);
  if (input < 0) return null;
  return { found: `a wire to pad ${String(build.wiring[input])}`, allowed };
}
