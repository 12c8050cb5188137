/** A second-order filter: b0 + b1·z⁻¹ + b2·z⁻² over 1 + a1·z⁻¹ + a2·z⁻². */
export interface Biquad {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/** The rate that the standard's tables are for. */
const TABLE_RATE = 48_000;
/** ITU-R BS.1770, table 1: the head as a high shelf, at 48 kHz. */
const SHELF: Biquad = {
  b0: 1.53512485958697,
  b1: -2.69169618940638,
  b2: 1.19839281085285,
  a1: -1.69065929318241,
  a2: 0.73248077421585,
};
/** ITU-R BS.1770, table 2: a high-pass, at 48 kHz. */
const HIGH_PASS: Biquad = { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 };

/** States smaller than this are as good as nothing, and slow to reckon with once they are denormal. */
const NOTHING = 1e-30;

/** K-weighting at a sample rate: the shelf, then the high-pass. */
export function kWeighting(sampleRate: number): readonly [Biquad, Biquad] {
  return [atRate(SHELF, sampleRate), atRate(HIGH_PASS, sampleRate)];
}

/**
 * The same analog filter at another rate. The standard gives tables for 48 kHz only and asks for the same
 * response at other rates, so the table is taken back through the bilinear transform,
 * z⁻¹ = (1 − s) / (1 + s), and forth again, with the frequency axis scaled so that the section's own corner,
 * tan(π·f/rate) in s, stays at the same Hz (prewarping; J. O. Smith, Introduction to Digital Filters,
 * "Bilinear Transformation").
 */
function atRate({ b0, b1, b2, a1, a2 }: Biquad, sampleRate: number): Biquad {
  const above = analog([b0, b1, b2]);
  const below = analog([1, a1, a2]);
  const corner = Math.sqrt(below[0] / below[2]);
  const hertz = (Math.atan(corner) * TABLE_RATE) / Math.PI;
  const scale = corner / Math.tan((Math.PI * hertz) / sampleRate);
  const [d0, d1, d2] = digital(below, scale);
  const [n0, n1, n2] = digital(above, scale);
  return { b0: n0 / d0, b1: n1 / d0, b2: n2 / d0, a1: d1 / d0, a2: d2 / d0 };
}

type Three = readonly [number, number, number];

/** c0 + c1·z⁻¹ + c2·z⁻² as a polynomial in s, from its constant on, over (1 + s)². */
function analog([c0, c1, c2]: Three): Three {
  return [c0 + c1 + c2, 2 * (c0 - c2), c0 - c1 + c2];
}

/** The way back, with s stretched. */
function digital([n0, n1, n2]: Three, scale: number): Three {
  const first = n1 * scale;
  const second = n2 * scale * scale;
  return [n0 + first + second, 2 * (n0 - second), n0 - first + second];
}

/** Two channels through K-weighting. It allocates nothing as it goes. */
export class KWeighted {
  private readonly shelf: Biquad;
  private readonly highPass: Biquad;
  /** Two values a section (transposed direct form II) and channel. */
  private readonly left = new Float64Array(4);
  private readonly right = new Float64Array(4);

  constructor(sampleRate: number) {
    [this.shelf, this.highPass] = kWeighting(sampleRate);
  }

  /**
   * Takes in indices `from` until before `to` of both channels, and adds their weighted squares to
   * `energies[at]`. What is no number counts as silence.
   */
  add(
    left: Float32Array,
    right: Float32Array,
    from: number,
    to: number,
    energies: Float64Array,
    at: number,
  ): void {
    this.channel(left, from, to, this.left, energies, at);
    this.channel(right, from, to, this.right, energies, at);
  }

  private channel(
    samples: Float32Array,
    from: number,
    to: number,
    state: Float64Array,
    energies: Float64Array,
    at: number,
  ): void {
    const { b0, b1, b2, a1, a2 } = this.shelf;
    const { b0: c0, b1: c1, b2: c2, a1: d1, a2: d2 } = this.highPass;
    let s0 = state[0]!;
    let s1 = state[1]!;
    let s2 = state[2]!;
    let s3 = state[3]!;
    let sum = 0;
    for (let i = from; i < to; i++) {
      const x = samples[i]!;
      const y = b0 * x + s0;
      s0 = b1 * x - a1 * y + s1;
      s1 = b2 * x - a2 * y;
      const z = c0 * y + s2;
      s2 = c1 * y - d1 * z + s3;
      s3 = c2 * y - d2 * z;
      sum += z * z;
    }
    // What is no number must not stay in the filter for ever.
    if (!(sum < Infinity)) {
      state.fill(0);
      return;
    }
    energies[at]! += sum;
    state[0] = settled(s0);
    state[1] = settled(s1);
    state[2] = settled(s2);
    state[3] = settled(s3);
  }
}

function settled(value: number): number {
  return Math.abs(value) < NOTHING ? 0 : value;
}

/**
 * Loudness in LUFS of a mean square over both channels, K-weighted: −0.691 + 10·log₁₀, ITU-R BS.1770
 * (left and right weigh 1).
 *
 * @returns −Infinity for 0
 */
export function loudnessOf(meanSquare: number): number {
  return -0.691 + 10 * Math.log10(meanSquare);
}

/** The way back from `loudnessOf`. */
export function meanSquareOf(lufs: number): number {
  return 10 ** ((lufs + 0.691) / 10);
}
