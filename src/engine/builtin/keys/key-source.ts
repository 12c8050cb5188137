import { tunedTo } from '../frequency.js';
import { earWeight } from '../parts/ear-weight.js';
import { Resonators } from '../parts/resonators.js';
import type { Source, Stroke } from '../source.js';
import { QUANTUM } from '../synth.js';
import { keyTimbreOf } from './key-timbre.js';

const MOST_PARTIALS = 16;
/** Partials above this share of the sample rate are left out. */
const HIGHEST = 0.45;

/** What a key sounds: partials that decay, or stand, until the key is let go of. */
export class KeySource implements Source {
  rise = 0;
  release = 0;
  readonly pending = false;
  private readonly partials: Resonators;

  constructor(private readonly sampleRate: number) {
    this.partials = new Resonators(sampleRate, MOST_PARTIALS);
  }

  begin({ sound, note, strength }: Stroke): void {
    const timbre = keyTimbreOf(sound);
    const frequency = tunedTo(note, this.sampleRate);
    const { ratios } = timbre;
    let count = 0;
    let loudness = 0;
    for (const ratio of ratios) {
      if (ratio * frequency > HIGHEST * this.sampleRate) break;
      const amplitude = timbre.amplitude(ratio, strength, frequency);
      loudness += amplitude * amplitude * earWeight(ratio * frequency);
      count++;
    }
    const scale = timbre.gain * Math.sqrt(2 / loudness);
    const t60 = timbre.t60(frequency);
    this.partials.clear();
    for (let k = 0; k < count; k++) {
      const ratio = ratios[k]!;
      const amplitude = scale * timbre.amplitude(ratio, strength, frequency);
      const own = t60 / (1 + timbre.haste * (ratio - 1));
      // Phases by which the partials do not all peak together (M. R. Schroeder, IEEE Trans. IT 16, 1970).
      this.partials.add(ratio * frequency, amplitude, own, (-Math.PI * k * (k + 1)) / count);
    }
    const [soft, hard] = timbre.rise;
    this.rise = soft + (hard - soft) * strength;
    this.release = timbre.release;
  }

  /** A key has one pitch: its maker never asks for this. */
  slur(): void {
    // Nothing to carry on.
  }

  render(out: Float64Array, count: number): void {
    out.fill(0, 0, count);
    this.partials.render(out, count);
  }

  quantum(): void {
    this.partials.quantum(QUANTUM);
  }
}
