import { noise } from '../random.js';
import type { Timbre } from './timbre.js';

/** How one pluck sets a string moving. */
export interface Pluck {
  readonly timbre: Timbre;
  /** Samples a period, not whole. */
  readonly period: number;
  /** Hz, of the one-pole low-pass. */
  readonly cutoff: number;
  readonly sampleRate: number;
  /** Which noise. */
  readonly seed: number;
}

/**
 * Writes `count` samples of a pluck into a ring, ending just before index `end`: mean 0, RMS 1, and one
 * period long, so that the loop goes on from it without a seam.
 *
 * The shape is the slope of a string drawn aside at one place, a rectangle whose partials fall as 1/k
 * with gaps at the place's multiples (Jaffe & Smith 1983, "pick position"), with the noise burst of
 * Karplus & Strong 1983 on top; both pass the one-pole low-pass by which strength sets brightness
 * (J. O. Smith, Physical Audio Signal Processing, "dynamic level").
 */
export function writePluck(ring: Float32Array, end: number, count: number, pluck: Pluck): void {
  const { timbre, period, seed } = pluck;
  const mask = ring.length - 1;
  const pole = Math.exp((-2 * Math.PI * pluck.cutoff) / pluck.sampleRate);
  const high = Math.sqrt((1 - timbre.place) / timbre.place);
  const low = -1 / high;
  const grain = timbre.noise * Math.sqrt(3);
  const cycle = Math.ceil(period);
  const begin = -(count + cycle);
  let state = 0;
  let sum = 0;
  let square = 0;
  // The first period runs the low-pass in, to its steady state.
  let phase = period + (begin % period);
  for (let i = begin; i < 0; i++) {
    const raw = (phase < timbre.place * period ? high : low) + grain * noise(seed, phase | 0);
    state = raw + pole * (state - raw);
    if (i >= -count) ring[(end + i) & mask] = state;
    if (i >= -cycle) {
      sum += state;
      square += state * state;
    }
    phase += 1;
    if (phase >= period) phase -= period;
  }
  const mean = sum / cycle;
  const scale = 1 / Math.sqrt(Math.max(square / cycle - mean * mean, 1e-12));
  for (let i = -count; i < 0; i++) {
    const at = (end + i) & mask;
    ring[at] = (ring[at]! - mean) * scale;
  }
}
