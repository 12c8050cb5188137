import type { Source, Stroke } from '../source.js';
import { StringLoop } from './string-loop.js';
import { timbreOf } from './timbre.js';

/** A damped string falls by 60 dB in this time, in seconds. */
const DAMPING = 0.08;
/** The DC blocker's corner in Hz, far under the lowest string. */
const DC_CORNER = 4;

/** A plucked string. */
export class StringSource implements Source {
  rise = 0;
  readonly release = DAMPING;
  readonly pending = false;
  private readonly loop: StringLoop;
  private readonly blocker: number;
  private blockIn = 0;
  private blockOut = 0;

  constructor(sampleRate: number) {
    this.loop = new StringLoop(sampleRate);
    this.blocker = Math.exp((-2 * Math.PI * DC_CORNER) / sampleRate);
  }

  begin({ sound, note, strength, seed }: Stroke): void {
    this.loop.pluck(timbreOf(sound), note, strength, seed);
    this.blockIn = this.blockOut = 0;
    // A soft touch begins in 3 ms, a hard one in 1 ms.
    this.rise = 0.003 - 0.002 * strength;
  }

  slur(note: number): void {
    this.loop.slur(note);
  }

  render(out: Float64Array, count: number): void {
    this.loop.render(out, 0, count);
    const { blocker } = this;
    let { blockIn, blockOut } = this;
    for (let i = 0; i < count; i++) {
      const swing = out[i]!;
      blockOut = swing - blockIn + blocker * blockOut;
      blockIn = swing;
      out[i] = blockOut;
    }
    this.blockIn = blockIn;
    this.blockOut = blockOut;
  }

  quantum(): void {
    // A string is never put aside in part.
  }
}
