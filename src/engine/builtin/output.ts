import { Limiter, PEAK } from './limiter.js';
import { LoudnessCeiling } from './loudness-ceiling.js';
import { Meter } from './meter.js';

/** What the built-in engine's output keeps to. */
export interface Ceiling {
  /** True peaks stay below it, in dBTP. */
  readonly peak: number;
  /** No three seconds are louder, in LUFS; null: the limiter alone keeps the output down. */
  readonly loudness: number | null;
}

/** The limiter alone. */
export const OPEN_CEILING: Ceiling = { peak: PEAK, loudness: null };

/** How loud the output is, by ITU-R BS.1770; −Infinity where nothing sounded. */
export interface Loudness {
  /** Of the last 400 ms, in LUFS. */
  readonly momentary: number;
  /** Of the last 3 s, in LUFS. */
  readonly shortTerm: number;
  /** From the beginning on, pauses left out, in LUFS. */
  readonly integrated: number;
  /** The highest true peak from the beginning on, in dBTP. */
  readonly truePeak: number;
  /** How far the ceilings turned the sound down at most since they were last asked, in dB, 0 or more. */
  readonly limiting: number;
  /** The same from the beginning on. */
  readonly mostLimiting: number;
}

/** What comes behind the synth: the ceilings, then the meter. It allocates nothing as it goes. */
export class Output {
  /** Samples from in to out. */
  readonly latency: number;
  private readonly ceiling: LoudnessCeiling | null;
  private readonly limiter: Limiter;
  private readonly meter: Meter;
  private most = 0;

  constructor(sampleRate: number, { peak, loudness }: Ceiling = OPEN_CEILING) {
    this.ceiling = loudness === null ? null : new LoudnessCeiling(sampleRate, loudness);
    this.limiter = new Limiter(sampleRate, peak);
    this.meter = new Meter(sampleRate);
    this.latency = this.limiter.latency;
  }

  /** Goes through indices `from` until before `to` of both channels, in place. */
  process(left: Float32Array, right: Float32Array, from: number, to: number): void {
    this.ceiling?.process(left, right, from, to);
    this.limiter.process(left, right, from, to);
    this.meter.process(left, right, from, to);
  }

  /** How loud it is, and how far it was turned down since this was last asked. */
  loudness(): Loudness {
    const { momentary, shortTerm, integrated, truePeak } = this.meter;
    const lowest = this.limiter.lowest() * (this.ceiling?.lowest() ?? 1);
    const limiting = lowest < 1 ? -20 * Math.log10(lowest) : 0;
    this.most = Math.max(this.most, limiting);
    return { momentary, shortTerm, integrated, truePeak, limiting, mostLimiting: this.most };
  }
}
