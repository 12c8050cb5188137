/** −1 dBFS less a millionth, as 32 bits hold it: rounding to them never passes it. */
export const CEILING = Math.fround(10 ** (-1 / 20) - 1e-6);
/** How far it looks ahead, and so how much later everything sounds, in seconds. */
const LOOKAHEAD = 0.001;
/** Time constant of its letting go, in seconds. */
const RELEASE = 0.08;
/**
 * Gains are kept as integers of 1/ONE: their running sum stays exact however long it runs, and stays small
 * enough (up to 128 kHz) to be a plain integer in the machine, which costs no memory.
 */
const ONE = 2 ** 24;

/**
 * A look-ahead peak limiter on two channels, with one gain for both.
 *
 * The gain that each sample needs is held down over the look-ahead (a sliding minimum), let go slowly, and
 * smoothed by a mean over the same span: since every gain in the mean is at most what the sample now
 * leaving needs, no sample passes the ceiling. (Common practice for look-ahead limiters.)
 */
export class Limiter {
  /** Samples from in to out. */
  readonly latency: number;
  private readonly span: number;
  private readonly release: number;
  private readonly waitLeft: Float32Array;
  private readonly waitRight: Float32Array;
  private readonly gains: Int32Array;
  /** The sliding minimum: a queue of needs that only grow, and when each came. */
  private readonly needs: Int32Array;
  private readonly cameAt: Float64Array;
  private head = 0;
  private size = 0;
  private now = 0;
  private slot = 0;
  private gain = ONE;
  private sum: number;

  constructor(sampleRate: number) {
    this.span = Math.max(1, Math.round(LOOKAHEAD * sampleRate));
    this.latency = this.span - 1;
    this.release = 1 - Math.exp(-1 / (RELEASE * sampleRate));
    this.waitLeft = new Float32Array(this.span);
    this.waitRight = new Float32Array(this.span);
    this.gains = new Int32Array(this.span).fill(ONE);
    this.needs = new Int32Array(this.span);
    this.cameAt = new Float64Array(this.span);
    this.sum = this.span * ONE;
  }

  /** Limits indices `from` until before `to` of both channels in place. A sample that is no number becomes 0. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const { span, waitLeft, waitRight, gains } = this;
    for (let i = from; i < to; i++) {
      let peak = Math.max(Math.abs(left[i]!), Math.abs(right[i]!));
      const sound = peak < Infinity;
      if (!sound) peak = 0;
      const held = this.lowestNeed(peak > CEILING ? Math.floor((CEILING / peak) * ONE) : ONE);
      const up = this.gain + Math.ceil((held - this.gain) * this.release);
      this.gain = held < this.gain ? held : up;
      this.sum += this.gain - gains[this.slot]!;
      gains[this.slot] = this.gain;
      waitLeft[this.slot] = sound ? left[i]! : 0;
      waitRight[this.slot] = sound ? right[i]! : 0;
      this.slot = this.slot + 1 === span ? 0 : this.slot + 1;
      const factor = this.sum / (span * ONE);
      left[i] = waitLeft[this.slot]! * factor;
      right[i] = waitRight[this.slot]! * factor;
    }
  }

  /** Takes in one need and gives the lowest of the last `span`. */
  private lowestNeed(need: number): number {
    const { span, needs, cameAt } = this;
    const now = this.now++;
    if (this.size > 0 && cameAt[this.head]! <= now - span) {
      this.head = this.head + 1 === span ? 0 : this.head + 1;
      this.size--;
    }
    while (this.size > 0 && needs[(this.head + this.size - 1) % span]! >= need) this.size--;
    const tail = (this.head + this.size) % span;
    needs[tail] = need;
    cameAt[tail] = now;
    this.size++;
    return needs[this.head]!;
  }
}
