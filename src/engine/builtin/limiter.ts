import { PeakGain } from './peak-gain.js';

/** True peaks stay below this unless a room says otherwise, in dBTP. */
export const PEAK = -1;
/** Samples never pass it either: 0.891, as 32 bits hold it. */
export const CEILING = Math.fround(10 ** (PEAK / 20));
/**
 * How far below the ceiling it aims, in dB: meters interpolate between samples in ways of their own, may look
 * closer than four times a sample, and a file of 16 bits rounds.
 */
const MARGIN = 0.2;
/** How long it takes to turn down, in seconds, and the time constant of its letting go. */
const ATTACK = 0.000_75;
const RELEASE = 0.08;
/** The same for what little is left above the ceiling after that. */
const LAST_ATTACK = 0.000_25;
const LAST_RELEASE = 0.02;

/**
 * A look-ahead limiter of true peaks (ITU-R BS.1770, annex 2) on two channels, with one gain for both: about
 * 1.5 ms behind at 48 kHz. What stays below the ceiling passes unchanged.
 *
 * A gain that changes shifts the peaks between samples a little, so a second, shorter turn looks at what the
 * first made of them.
 */
export class Limiter {
  /** Samples from in to out. */
  readonly latency: number;
  private readonly first: PeakGain;
  private readonly last: PeakGain;

  /** @param peak what true peaks stay below, in dBTP */
  constructor(sampleRate: number, peak = PEAK) {
    const ceiling = 10 ** ((peak - MARGIN) / 20);
    this.first = new PeakGain({ sampleRate, ceiling, attack: ATTACK, release: RELEASE });
    this.last = new PeakGain({ sampleRate, ceiling, attack: LAST_ATTACK, release: LAST_RELEASE });
    this.latency = this.first.latency + this.last.latency;
  }

  /** Limits indices `from` until before `to` of both channels in place. A sample that is no number becomes 0. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    this.first.process(left, right, from, to);
    this.last.process(left, right, from, to);
  }

  /** The lowest factor since it was last asked: 1 where nothing was turned down. */
  lowest(): number {
    return this.first.lowest() * this.last.lowest();
  }
}
