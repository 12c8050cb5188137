import { sineOf } from '../parts/sine.js';
import type { Skin } from './drum-recipe.js';

/** Below this, against RMS 1, a layer is put aside: long before denormals. */
const PUT_ASIDE = 1e-6;

/** The skin of a drum that sounds; see `Skin`. */
export class SkinLayer {
  private size = 0;
  private decay = 0;
  private hold = 0;
  private phase = 0;
  /** Turns a sample. */
  private step = 0;
  private drop = 0;
  private fall = 0;
  private trill = 0;
  private trillStep = 0;
  private trillDepth = 0;

  constructor(private readonly sampleRate: number) {}

  /** @param skin undefined: none */
  begin(skin: Skin | undefined, gain: number, strength: number): void {
    this.size = skin ? gain * skin.level * Math.SQRT2 : 0;
    if (!skin) return;
    const { sampleRate } = this;
    this.decay = 0.001 ** (1 / (skin.t60 * sampleRate));
    this.hold = Math.round(skin.hold * sampleRate);
    this.phase = 0;
    this.step = skin.hz / sampleRate;
    this.drop = skin.drop * (0.4 + 0.6 * strength);
    this.fall = Math.exp(-1 / (skin.fall * sampleRate));
    this.trill = 0;
    [this.trillStep, this.trillDepth] = [skin.trill[0] / sampleRate, skin.trill[1]];
  }

  /** Adds the next `count` samples to `out`. */
  render(out: Float64Array, count: number): void {
    if (this.size === 0) return;
    const { decay, step, fall, trillStep, trillDepth } = this;
    let { size, hold, phase, drop, trill } = this;
    for (let i = 0; i < count; i++) {
      trill += trillStep;
      if (trill >= 1) trill -= 1;
      drop *= fall;
      phase += step * (1 + drop + trillDepth * sineOf(trill));
      if (phase >= 1) phase -= 1;
      if (hold > 0) hold--;
      else size *= decay;
      out[i]! += size * sineOf(phase);
    }
    this.size = size;
    this.hold = hold;
    this.phase = phase;
    this.drop = drop;
    this.trill = trill;
  }

  quantum(): void {
    if (this.size < PUT_ASIDE) this.size = 0;
    if (Math.abs(this.drop) < PUT_ASIDE) this.drop = 0;
  }
}
