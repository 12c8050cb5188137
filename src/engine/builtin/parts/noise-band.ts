import { noise } from '../random.js';

/** What a filter lets through: a band around its frequency, or all above or below it. */
export type Shape = 'band' | 'high' | 'low';

/** `noise` is evenly spread over −1 to 1, so this is its RMS. */
const WHITE_RMS = 1 / Math.sqrt(3);

/**
 * White noise through one second-order filter, always at RMS 1 whatever the filter lets through.
 * The filters are those of R. Bristow-Johnson, "Cookbook formulae for audio EQ biquad filter
 * coefficients" (W3C Audio EQ Cookbook).
 */
export class NoiseBand {
  private b0 = 0;
  private b1 = 0;
  private b2 = 0;
  private a1 = 0;
  private a2 = 0;
  private first = 0;
  private second = 0;
  private seed = 0;
  private at = 0;

  constructor(private readonly sampleRate: number) {}

  /** Begins other noise, from a filter at rest. */
  begin(seed: number): void {
    this.seed = seed;
    this.at = 0;
    this.first = this.second = 0;
  }

  /** @param hz the middle of the band or the corner; taken as 0.45 of the sample rate where it is above */
  tune(shape: Shape, hz: number, q: number): void {
    const omega = (2 * Math.PI * Math.min(hz, 0.45 * this.sampleRate)) / this.sampleRate;
    const cos = Math.cos(omega);
    const alpha = Math.sin(omega) / (2 * q);
    const a0 = 1 + alpha;
    const [b0, b1, b2] =
      shape === 'band'
        ? [alpha, 0, -alpha]
        : shape === 'high'
          ? [(1 + cos) / 2, -(1 + cos), (1 + cos) / 2]
          : [(1 - cos) / 2, 1 - cos, (1 - cos) / 2];
    const a1 = (-2 * cos) / a0;
    const a2 = (1 - alpha) / a0;
    const scale = 1 / (WHITE_RMS * a0 * noiseGain(b0 / a0, b1 / a0, b2 / a0, a1, a2));
    this.b0 = b0 * scale;
    this.b1 = b1 * scale;
    this.b2 = b2 * scale;
    this.a1 = a1;
    this.a2 = a2;
  }

  /** The next sample. */
  next(): number {
    const white = noise(this.seed, this.at++);
    const out = this.b0 * white + this.first;
    this.first = this.b1 * white - this.a1 * out + this.second;
    this.second = this.b2 * white - this.a2 * out;
    return out;
  }
}

/**
 * The RMS that a second-order filter gives white noise of RMS 1: the root of its impulse response's
 * energy in closed form (K. J. Åström, Introduction to Stochastic Control Theory, 1970, ch. 5).
 */
export function noiseGain(b0: number, b1: number, b2: number, a1: number, a2: number): number {
  const squares = b0 * b0 + b1 * b1 + b2 * b2;
  const near = 2 * (b0 * b1 + b1 * b2);
  const far = 2 * b0 * b2;
  const above = squares * (1 + a2) - near * a1 + far * (a1 * a1 - a2 * (1 + a2));
  return Math.sqrt(above / ((1 - a2) * (1 + a2 - a1) * (1 + a2 + a1)));
}
