import { NoiseBand } from '../parts/noise-band.js';
import type { Hiss } from './drum-recipe.js';

/** Below this, against RMS 1, a layer is put aside. */
const PUT_ASIDE = 1e-6;
/** A soft stroke's filter, as a share of a hard one's frequency. */
const SOFT_HZ = 0.7;

/** The noise of a drum that sounds; see `Hiss`. */
export class HissLayer {
  private readonly noise: NoiseBand;
  private size = 0;
  private decay = 0;
  private swell = 1;
  private swellStep = 1;
  private strokesLeft = 0;
  private untilNext = 0;
  private every = 0;
  private top = 0;
  private growth = 1;
  private lastDecay = 0;

  constructor(private readonly sampleRate: number) {
    this.noise = new NoiseBand(sampleRate);
  }

  /** More strokes are to come. */
  get pending(): boolean {
    return this.strokesLeft > 0;
  }

  /** @param hiss undefined: none */
  begin(hiss: Hiss | undefined, gain: number, strength: number, seed: number): void {
    this.size = this.strokesLeft = 0;
    if (!hiss) return;
    const { sampleRate } = this;
    const [count, every, t60] = hiss.strokes;
    const fallIn = (seconds: number): number => 0.001 ** (1 / (seconds * sampleRate));
    this.lastDecay = fallIn(hiss.t60);
    this.decay = count > 0 ? fallIn(t60) : this.lastDecay;
    this.strokesLeft = count;
    this.every = this.untilNext = Math.round(every * sampleRate);
    this.growth = count > 0 ? (1 / hiss.first) ** (1 / count) : 1;
    this.size = this.top = gain * hiss.level * (count > 0 ? hiss.first : 1);
    this.swellStep = 1 / Math.max(1, hiss.rise * sampleRate);
    this.swell = 0;
    this.noise.begin(seed);
    this.noise.tune(hiss.shape, hiss.hz * (SOFT_HZ + (1 - SOFT_HZ) * strength), hiss.q);
  }

  /** Adds the next `count` samples to `out`. */
  render(out: Float64Array, count: number): void {
    if (this.size === 0 && this.strokesLeft === 0) return;
    const { noise, swellStep } = this;
    for (let i = 0; i < count; i++) {
      if (this.strokesLeft > 0 && this.untilNext-- === 0) this.nextStroke();
      if (this.swell < 1) this.swell = Math.min(1, this.swell + swellStep);
      else this.size *= this.decay;
      out[i]! += this.size * this.swell * noise.next();
    }
  }

  quantum(): void {
    if (this.size < PUT_ASIDE) this.size = 0;
  }

  private nextStroke(): void {
    this.untilNext = this.every;
    this.top *= this.growth;
    this.size = this.top;
    this.swell = 0;
    if (--this.strokesLeft === 0) this.decay = this.lastDecay;
  }
}
