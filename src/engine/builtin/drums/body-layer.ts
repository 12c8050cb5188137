import { Resonators } from '../parts/resonators.js';
import type { Body } from './drum-recipe.js';

const MOST_PARTIALS = 12;
/** Partials above this share of the sample rate are left out. */
const HIGHEST = 0.45;
/** A soft stroke's tilt, as a share of a hard one's. */
const SOFT_TILT = 0.75;
/** A partial of n times the first one's frequency dies n to this power sooner. */
const HASTE = 0.4;

/** The wooden or metal body of a drum that sounds; see `Body`. */
export class BodyLayer {
  private readonly partials: Resonators;

  constructor(private readonly sampleRate: number) {
    this.partials = new Resonators(sampleRate, MOST_PARTIALS);
  }

  /** @param body undefined: none */
  begin(body: Body | undefined, gain: number, strength: number): void {
    this.partials.clear();
    if (!body) return;
    const first = body.partials[0]!;
    const tilt = body.tilt * (SOFT_TILT + (1 - SOFT_TILT) * strength);
    let squares = 0;
    for (let k = 0; k < body.partials.length; k++) squares += tilt ** (2 * k);
    const scale = gain * body.level * Math.sqrt(2 / squares);
    for (let k = 0; k < body.partials.length; k++) {
      const hz = body.partials[k]!;
      if (hz > HIGHEST * this.sampleRate) continue;
      this.partials.add(hz, scale * tilt ** k, body.t60 / (hz / first) ** HASTE, 0);
    }
  }

  /** Adds the next `count` samples to `out`. */
  render(out: Float64Array, count: number): void {
    this.partials.render(out, count);
  }

  quantum(frames: number): void {
    this.partials.quantum(frames);
  }
}
