import { loudnessOf } from './k-weighting.js';

/** Blocks quieter than this never count, in LUFS (ITU-R BS.1770, absolute gate). */
const ABSOLUTE_GATE = -70;
/** Nor do those this far below the mean of the others, in LU (relative gate). */
const RELATIVE_GATE = -10;
/** Blocks are counted by loudness in steps of a hundredth of an LU, up to +30 LUFS. */
const STEPS_A_LU = 100;
const STEPS = (30 - ABSOLUTE_GATE) * STEPS_A_LU;

/**
 * Integrated loudness with the two gates of ITU-R BS.1770, for as long as anybody plays: what counts is how
 * many blocks came at each loudness and what they sum up to, so it needs no more memory as time goes on.
 * The mean is exact; only the relative gate falls on whole steps.
 */
export class Gating {
  private readonly counts = new Float64Array(STEPS);
  private readonly sums = new Float64Array(STEPS);

  /** Takes in one block of 400 ms, by its K-weighted mean square over both channels. */
  block(meanSquare: number): void {
    const step = Math.floor((loudnessOf(meanSquare) - ABSOLUTE_GATE) * STEPS_A_LU);
    if (!(step >= 0)) return;
    const at = Math.min(step, STEPS - 1);
    this.counts[at]!++;
    this.sums[at]! += meanSquare;
  }

  /** LUFS; −Infinity where nothing passed the gates. */
  get integrated(): number {
    const gate = loudnessOf(this.mean(0)) + RELATIVE_GATE;
    if (gate === -Infinity) return -Infinity;
    return loudnessOf(this.mean(Math.max(0, Math.round((gate - ABSOLUTE_GATE) * STEPS_A_LU))));
  }

  private mean(from: number): number {
    let count = 0;
    let sum = 0;
    for (let i = from; i < STEPS; i++) {
      count += this.counts[i]!;
      sum += this.sums[i]!;
    }
    return count === 0 ? 0 : sum / count;
  }
}
