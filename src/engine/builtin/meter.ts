import { Gating } from './gating.js';
import { KWeighted, loudnessOf } from './k-weighting.js';
import { TruePeak } from './true-peak.js';

/** Windows move on in steps of this long, in seconds: finer than the 100 ms that EBU Tech 3341 asks for. */
const STEP = 0.01;
/** In steps: momentary 400 ms, short-term 3 s; gated blocks of 400 ms begin every 100 ms (overlap 75 %). */
const MOMENTARY = 40;
const SHORT_TERM = 300;
const HOP = 10;
/** Samples at a time. */
const PART = 128;

/**
 * A loudness and true-peak meter for two channels, by ITU-R BS.1770 and with the windows of EBU Tech 3341. It
 * allocates nothing as it goes.
 */
export class Meter {
  private readonly weighted: KWeighted;
  private readonly gating = new Gating();
  private readonly ofLeft = new TruePeak();
  private readonly ofRight = new TruePeak();
  /** Samples a step. */
  private readonly length: number;
  /** The energies of the last 3 s, a step each, and of the step at `slot`, which is not full yet. */
  private readonly steps = new Float64Array(SHORT_TERM + 1);
  private slot = 0;
  private count = 0;
  private filled = 0;
  private readonly peaks = new Float64Array(PART);
  private readonly peak = new Float64Array(1);

  constructor(sampleRate: number) {
    this.weighted = new KWeighted(sampleRate);
    this.length = Math.max(1, Math.round(STEP * sampleRate));
  }

  /** Takes in indices `from` until before `to` of both channels; what is no number counts as silence. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    for (let at = from; at < to;) {
      const end = Math.min(to, at + PART, at + this.length - this.filled);
      this.weighted.add(left, right, at, end, this.steps, this.slot);
      this.watch(left, right, at, end);
      this.filled += end - at;
      at = end;
      if (this.filled === this.length) this.step();
    }
  }

  /** LUFS of the last 400 ms; −Infinity: silence. */
  get momentary(): number {
    return loudnessOf(this.meanSquare(MOMENTARY));
  }

  /** LUFS of the last 3 s. */
  get shortTerm(): number {
    return loudnessOf(this.meanSquare(SHORT_TERM));
  }

  /** LUFS from the beginning on, without what the gates leave out. */
  get integrated(): number {
    return this.gating.integrated;
  }

  /** The highest so far, in dBTP. */
  get truePeak(): number {
    return 20 * Math.log10(this.peak[0]!);
  }

  private watch(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const { peak, peaks } = this;
    peaks.fill(0);
    this.ofLeft.measure(left, from, to, peak[0]!, peaks);
    this.ofRight.measure(right, from, to, peak[0]!, peaks);
    for (let i = 0; i < to - from; i++) {
      if (peaks[i]! > peak[0]! && peaks[i]! < Infinity) peak[0] = peaks[i]!;
    }
  }

  private step(): void {
    const { steps } = this;
    this.slot = this.slot === SHORT_TERM ? 0 : this.slot + 1;
    steps[this.slot] = 0;
    this.filled = 0;
    this.count++;
    if (this.count >= MOMENTARY && this.count % HOP === 0) {
      this.gating.block(this.meanSquare(MOMENTARY));
    }
  }

  private meanSquare(length: number): number {
    const { steps } = this;
    let sum = 0;
    for (let i = 1; i <= length; i++) {
      sum += steps[(this.slot - i + SHORT_TERM + 1) % (SHORT_TERM + 1)]!;
    }
    return sum / (length * this.length);
  }
}
