import { KWeighted, meanSquareOf } from './k-weighting.js';

/** How often it looks, in seconds. */
const STEP = 0.01;
/** In steps: how far back it looks for how loud the players are, and how long the loudness counts. */
const HEARD = 100;
const COUNTED = 300;
/** Steps this far below the loudest are pauses, and do not make players seem quieter: 20 LU. */
const PAUSE = 0.01;
/** How far below the ceiling it aims, in LU, for what it cannot foresee. */
const MARGIN = 0.5;
/** What a burst used up is saved again over the next second, but never more than 6 dB below the aim. */
const LEAST_SHARE = 0.25;
/** How fast it turns down (time constant in seconds) and up again (dB a second). */
const DOWN = 0.01;
const UP = 3;

/**
 * A slow gain on two channels that keeps short-term loudness (3 s, ITU-R BS.1770) at or below a ceiling,
 * whatever the players do. What stays below it passes unchanged.
 *
 * It follows how loud the players were over the last second, pauses left out, and looks at what it let
 * through itself over the last two: what a first burst was too loud, it saves afterwards. A full-scale tone
 * out of silence passes the ceiling by 0.4 LU, notes far apart stay up to 4 LU below it (measured in the
 * tests). The rates are our own choice.
 */
export class LoudnessCeiling {
  private readonly before: KWeighted;
  private readonly after: KWeighted;
  /** Samples a step. */
  private readonly length: number;
  private readonly down: number;
  private readonly up: number;
  /** The energy of one step at what it aims for. */
  private readonly full: number;
  private readonly heard = new Float64Array(HEARD);
  private readonly passed = new Float64Array(COUNTED);
  private step = 0;
  private filled = 0;
  /** In Float64Arrays of one, changing numbers cost no memory. */
  private readonly gain = Float64Array.of(1);
  private readonly goal = Float64Array.of(1);
  private readonly least = Float64Array.of(1);

  /** @param ceiling LUFS */
  constructor(sampleRate: number, ceiling: number) {
    this.before = new KWeighted(sampleRate);
    this.after = new KWeighted(sampleRate);
    this.length = Math.max(1, Math.round(STEP * sampleRate));
    this.down = 1 - Math.exp(-1 / (DOWN * sampleRate));
    this.up = 10 ** (UP / 20 / sampleRate);
    this.full = meanSquareOf(ceiling - MARGIN) * this.length;
  }

  /** Goes through indices `from` until before `to` of both channels, in place. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    for (let at = from; at < to;) {
      const end = Math.min(to, at + this.length - this.filled);
      this.before.add(left, right, at, end, this.heard, this.step % HEARD);
      this.turn(left, right, at, end);
      this.after.add(left, right, at, end, this.passed, this.step % COUNTED);
      this.filled += end - at;
      at = end;
      if (this.filled === this.length) this.look();
    }
  }

  /** The lowest factor since it was last asked: 1 where nothing was turned down. */
  lowest(): number {
    const lowest = this.least[0]!;
    this.least[0] = this.gain[0]!;
    return lowest;
  }

  private turn(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const goal = this.goal[0]!;
    let gain = this.gain[0]!;
    if (gain === 1 && goal === 1) return;
    for (let i = from; i < to; i++) {
      gain = goal < gain ? gain + (goal - gain) * this.down : Math.min(goal, gain * this.up);
      left[i]! *= gain;
      right[i]! *= gain;
    }
    this.gain[0] = gain;
    this.least[0] = Math.min(this.least[0]!, gain);
  }

  private look(): void {
    const { full } = this;
    const loud = this.loudness();
    const share = Math.min(1, Math.max(LEAST_SHARE, this.room() / (HEARD * full)));
    this.goal[0] = loud > share * full ? Math.sqrt((share * full) / loud) : 1;
    this.filled = 0;
    this.step++;
    this.heard[this.step % HEARD] = 0;
    this.passed[this.step % COUNTED] = 0;
  }

  /** The mean energy of the steps of the last second that are no pauses. */
  private loudness(): number {
    const { heard } = this;
    let loudest = 0;
    for (let i = 0; i < HEARD; i++) loudest = Math.max(loudest, heard[i]!);
    let sum = 0;
    let count = 0;
    for (let i = 0; i < HEARD; i++) {
      if (heard[i]! < PAUSE * loudest) continue;
      sum += heard[i]!;
      count++;
    }
    return sum / count;
  }

  /** What three seconds may hold, less what passed in the last two. */
  private room(): number {
    let sum = 0;
    for (let i = 0; i < COUNTED - HEARD; i++) {
      sum += this.passed[(this.step - i + COUNTED) % COUNTED]!;
    }
    return COUNTED * this.full - sum;
  }
}
