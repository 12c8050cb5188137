/** So many are worked out side by side, which a processor does about as fast as one. */
const GROUP = 4;
/** A partial this much fainter than RMS 1 is put aside: long before denormals, and without a click. */
const PUT_ASIDE = 1e-6;

/**
 * A bank of sines that decay, each y[n] = 2r·cos ω·y[n−1] − r²·y[n−2], a two-pole resonator left to
 * itself (J. O. Smith, Introduction to Digital Filters, "Two-Pole"): exact in pitch, two products a sample.
 */
export class Resonators {
  private readonly forward: Float64Array;
  private readonly back: Float64Array;
  private readonly last: Float64Array;
  private readonly before: Float64Array;
  private readonly size: Float64Array;
  private readonly decay: Float64Array;
  private count = 0;

  /** @param most how many partials at once */
  constructor(
    private readonly sampleRate: number,
    most: number,
  ) {
    const places = GROUP * Math.ceil(most / GROUP);
    this.forward = new Float64Array(places);
    this.back = new Float64Array(places);
    this.last = new Float64Array(places);
    this.before = new Float64Array(places);
    this.size = new Float64Array(places);
    this.decay = new Float64Array(places);
  }

  clear(): void {
    this.count = 0;
    this.forward.fill(0);
    this.back.fill(0);
    this.last.fill(0);
    this.before.fill(0);
  }

  /**
   * Adds a partial, which begins with the next sample. There must be room for it.
   *
   * @param frequency in Hz, below half the sample rate
   * @param amplitude of its sine as it begins
   * @param t60 seconds to fall by 60 dB; Infinity: it stays
   * @param phase in radians
   */
  add(frequency: number, amplitude: number, t60: number, phase: number): void {
    const at = this.count++;
    const omega = (2 * Math.PI * frequency) / this.sampleRate;
    const radius = 0.001 ** (1 / (t60 * this.sampleRate));
    this.forward[at] = 2 * radius * Math.cos(omega);
    this.back[at] = -radius * radius;
    this.last[at] = (amplitude * Math.sin(phase - omega)) / radius;
    this.before[at] = (amplitude * Math.sin(phase - 2 * omega)) / (radius * radius);
    this.size[at] = Math.abs(amplitude);
    this.decay[at] = radius;
  }

  /** Adds the next `count` samples of all partials to `out`. */
  render(out: Float64Array, count: number): void {
    for (let k = 0; k < this.count; k += GROUP) this.renderGroup(k, out, count);
  }

  /** To be called after each `frames` samples: puts aside the partials that no one hears any more. */
  quantum(frames: number): void {
    for (let k = this.count - 1; k >= 0; k--) {
      this.size[k]! *= this.decay[k]! ** frames;
      if (this.size[k]! < PUT_ASIDE) this.remove(k);
    }
  }

  private remove(k: number): void {
    const end = --this.count;
    move(this.forward, end, k);
    move(this.back, end, k);
    move(this.last, end, k);
    move(this.before, end, k);
    move(this.size, end, k);
    move(this.decay, end, k);
  }

  private renderGroup(k: number, out: Float64Array, count: number): void {
    const { forward, back, last, before } = this;
    const fa = forward[k]!;
    const fb = forward[k + 1]!;
    const fc = forward[k + 2]!;
    const fd = forward[k + 3]!;
    const ba = back[k]!;
    const bb = back[k + 1]!;
    const bc = back[k + 2]!;
    const bd = back[k + 3]!;
    let la = last[k]!;
    let lb = last[k + 1]!;
    let lc = last[k + 2]!;
    let ld = last[k + 3]!;
    let oa = before[k]!;
    let ob = before[k + 1]!;
    let oc = before[k + 2]!;
    let od = before[k + 3]!;
    for (let i = 0; i < count; i++) {
      const a = fa * la + ba * oa;
      const b = fb * lb + bb * ob;
      const c = fc * lc + bc * oc;
      const d = fd * ld + bd * od;
      oa = la;
      ob = lb;
      oc = lc;
      od = ld;
      la = a;
      lb = b;
      lc = c;
      ld = d;
      out[i]! += a + b + (c + d);
    }
    last[k] = la;
    last[k + 1] = lb;
    last[k + 2] = lc;
    last[k + 3] = ld;
    before[k] = oa;
    before[k + 1] = ob;
    before[k + 2] = oc;
    before[k + 3] = od;
  }
}

function move(values: Float64Array, from: number, to: number): void {
  values[to] = values[from]!;
  values[from] = 0;
}
