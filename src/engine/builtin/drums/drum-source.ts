import type { Source, Stroke } from '../source.js';
import { QUANTUM } from '../synth.js';
import { BodyLayer } from './body-layer.js';
import { drumGainOf } from './drum-gains.js';
import { drumOf } from './drum-kit.js';
import { HissLayer } from './hiss-layer.js';
import { SkinLayer } from './skin-layer.js';

/** One hit of a drum: it goes on to its own end, whatever the player does. */
export class DrumSource implements Source {
  readonly rise = 0;
  readonly release = Infinity;
  private readonly skin: SkinLayer;
  private readonly body: BodyLayer;
  private readonly hiss: HissLayer;

  constructor(sampleRate: number) {
    this.skin = new SkinLayer(sampleRate);
    this.body = new BodyLayer(sampleRate);
    this.hiss = new HissLayer(sampleRate);
  }

  get pending(): boolean {
    return this.hiss.pending;
  }

  begin({ note, strength, seed }: Stroke): void {
    const { skin, body, hiss } = drumOf(note);
    const gain = drumGainOf(note);
    this.skin.begin(skin, gain, strength);
    this.body.begin(body, gain, strength);
    this.hiss.begin(hiss, gain, strength, seed);
  }

  /** A drum has one pitch: its maker never asks for this. */
  slur(): void {
    // Nothing to carry on.
  }

  render(out: Float64Array, count: number): void {
    out.fill(0, 0, count);
    this.skin.render(out, count);
    this.body.render(out, count);
    this.hiss.render(out, count);
  }

  quantum(): void {
    this.skin.quantum();
    this.body.quantum(QUANTUM);
    this.hiss.quantum();
  }
}
