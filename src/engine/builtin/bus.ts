import { within } from './loudness.js';
import { QUANTUM } from './synth.js';

/** How long a change of level or pan takes, in seconds: short, and without a click. */
const RAMP = 0.01;

/**
 * The amplitudes of the left and the right channel for a pan from −1 (left) to 1 (right): the
 * constant-power law (a quarter of a circle, common practice), here times √2, so that the middle is 1
 * on both sides and each end 3 dB more on one. The sum of their squares is always 2.
 */
export function panGains(pan: number): readonly [number, number] {
  const angle = ((within(pan, -1, 1) + 1) * Math.PI) / 4;
  return [Math.fround(Math.SQRT2 * Math.cos(angle)), Math.fround(Math.SQRT2 * Math.sin(angle))];
}

/** Where the voices of one seat meet: one channel in, two out, with the seat's level and pan. */
export class Bus {
  /** What its voices add up to, from index 0 on. */
  readonly samples = new Float32Array(QUANTUM);
  /** Whether any voice added to it. */
  used = false;

  private readonly steps: number;
  private left = 0;
  private right = 0;
  private leftGoal = 0;
  private rightGoal = 0;
  private leftStep = 0;
  private rightStep = 0;
  private stepsLeft = 0;

  constructor(sampleRate: number, level: number, pan: number) {
    this.steps = Math.max(1, Math.round(RAMP * sampleRate));
    this.set(level, pan, false);
  }

  /** @param smoothly over 10 ms; otherwise at once, for a bus on which nothing sounds */
  set(level: number, pan: number, smoothly: boolean): void {
    const [left, right] = panGains(pan);
    const factor = within(level, 0, 1);
    this.leftGoal = factor * left;
    this.rightGoal = factor * right;
    this.stepsLeft = smoothly ? this.steps : 0;
    this.leftStep = (this.leftGoal - this.left) / this.steps;
    this.rightStep = (this.rightGoal - this.right) / this.steps;
    if (!smoothly) this.land();
  }

  /** Empties it for the next samples. */
  clear(): void {
    if (this.used) this.samples.fill(0);
    this.used = false;
  }

  /** Adds what it holds to indices `from` until before `to` of both channels. */
  mixInto(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const { samples } = this;
    let at = from;
    if (this.stepsLeft > 0) at = this.ramp(left, right, from, to);
    if (!this.used || at === to) return;
    const { left: leftGain, right: rightGain } = this;
    for (; at < to; at++) {
      const sample = samples[at - from]!;
      left[at]! += sample * leftGain;
      right[at]! += sample * rightGain;
    }
  }

  /** As far as the ramp goes; returns the index after it. */
  private ramp(left: Float32Array, right: Float32Array, from: number, to: number): number {
    const { samples } = this;
    const end = Math.min(to, from + this.stepsLeft);
    for (let i = from; i < end; i++) {
      this.left += this.leftStep;
      this.right += this.rightStep;
      if (--this.stepsLeft === 0) this.land();
      if (!this.used) continue;
      left[i]! += samples[i - from]! * this.left;
      right[i]! += samples[i - from]! * this.right;
    }
    return end;
  }

  private land(): void {
    this.left = this.leftGoal;
    this.right = this.rightGoal;
  }
}
