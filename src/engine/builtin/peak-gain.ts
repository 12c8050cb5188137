import { SlidingLeast } from './sliding-least.js';
import { TruePeak, TRUE_PEAK_DELAY } from './true-peak.js';

export interface PeakGainOptions {
  /** Frames a second. */
  readonly sampleRate: number;
  /** The amplitude to keep to, between samples too. */
  readonly ceiling: number;
  /** How long it takes to turn down, in seconds. */
  readonly attack: number;
  /** Time constant of its letting go, in seconds. */
  readonly release: number;
}

/**
 * Gains are kept as integers of 1/ONE: their running sum stays exact however long it runs, and stays small
 * enough (up to 128 kHz) to be a plain integer in the machine, which costs no memory.
 */
const ONE = 2 ** 24;
/** A peak between two samples turns down this many samples either side of the two as well. */
const BESIDE = 1;
/** Samples at a time. */
const PART = 128;

/**
 * Turns two channels down together, ahead of each peak that would pass the ceiling.
 *
 * The gain that each peak needs is held down over the attack (a sliding minimum), let go slowly, and smoothed
 * by a mean over the same span: since every gain in the mean is at most what the sample now leaving needs, no
 * sample passes the ceiling. (Common practice for look-ahead limiters.) Between samples that is so but for
 * what the gain changes across the few samples that make a peak.
 */
export class PeakGain {
  /** Samples from in to out. */
  readonly latency: number;
  private readonly ceiling: number;
  private readonly release: number;
  private readonly ofLeft = new TruePeak();
  private readonly ofRight = new TruePeak();
  private readonly held: SlidingLeast;
  private readonly gains: Int32Array;
  private readonly waitLeft: Float32Array;
  private readonly waitRight: Float32Array;
  private readonly peaks = new Float64Array(PART);
  private gainSlot = 0;
  private waitSlot = 0;
  private gain = ONE;
  private sum: number;
  private least: number;

  constructor({ sampleRate, ceiling, attack, release }: PeakGainOptions) {
    const span = Math.max(1, Math.round(attack * sampleRate));
    this.ceiling = ceiling;
    this.release = 1 - Math.exp(-1 / (release * sampleRate));
    this.latency = TRUE_PEAK_DELAY + span - 1 + BESIDE;
    this.held = new SlidingLeast(span + 1 + 2 * BESIDE, ONE);
    this.gains = new Int32Array(span).fill(ONE);
    this.waitLeft = new Float32Array(this.latency + 1);
    this.waitRight = new Float32Array(this.latency + 1);
    this.sum = this.least = span * ONE;
  }

  /** Goes through indices `from` until before `to` of both channels, in place; what is no number becomes 0. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    for (let at = from; at < to; at += PART) {
      const end = Math.min(to, at + PART);
      makeSound(left, right, at, end);
      this.peaks.fill(0);
      this.ofLeft.measure(left, at, end, this.ceiling, this.peaks);
      this.ofRight.measure(right, at, end, this.ceiling, this.peaks);
      this.turn(left, right, at, end);
    }
  }

  /** The lowest factor since it was last asked: 1 where nothing was turned down. */
  lowest(): number {
    const lowest = this.least / (this.gains.length * ONE);
    this.least = this.sum;
    return lowest;
  }

  private turn(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const { ceiling, peaks, gains, waitLeft, waitRight, held } = this;
    for (let i = from; i < to; i++) {
      waitLeft[this.waitSlot] = left[i]!;
      waitRight[this.waitSlot] = right[i]!;
      this.waitSlot = this.waitSlot === this.latency ? 0 : this.waitSlot + 1;

      const peak = peaks[i - from]!;
      const need = held.next(peak > ceiling ? Math.floor((ceiling / peak) * ONE) : ONE);
      const up = this.gain + Math.ceil((need - this.gain) * this.release);
      this.gain = need < this.gain ? need : up;
      this.sum += this.gain - gains[this.gainSlot]!;
      gains[this.gainSlot] = this.gain;
      this.gainSlot = this.gainSlot + 1 === gains.length ? 0 : this.gainSlot + 1;
      if (this.sum < this.least) this.least = this.sum;

      const factor = this.sum / (gains.length * ONE);
      left[i] = waitLeft[this.waitSlot]! * factor;
      right[i] = waitRight[this.waitSlot]! * factor;
    }
  }
}

/** Where either channel is no number, or too large for one, both are silent. */
function makeSound(left: Float32Array, right: Float32Array, from: number, to: number): void {
  for (let i = from; i < to; i++) {
    if (Math.abs(left[i]!) + Math.abs(right[i]!) < Infinity) continue;
    left[i] = right[i] = 0;
  }
}
