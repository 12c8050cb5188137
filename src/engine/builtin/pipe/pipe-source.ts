import { tunedTo } from '../frequency.js';
import { earWeight } from '../parts/ear-weight.js';
import { NoiseBand } from '../parts/noise-band.js';
import { sineOf } from '../parts/sine.js';
import type { Source, Stroke } from '../source.js';
import { harmonicShare, pipeTimbreOf } from './pipe-timbre.js';

const MOST_HARMONICS = 8;
/** Harmonics above this share of the sample rate are left out. */
const HIGHEST = 0.45;
/** How long another fingering takes to reach its pitch, in seconds. */
const GLIDE = 0.01;
/** The breath is heard around this harmonic, and louder as the note begins, for so many seconds. */
const BREATH_AT = 2;
const BREATH_Q = 1.5;
const CHIFF = 0.03;
const CHIFF_GAIN = 3;

/** A blown pipe: it stands until the breath ends, and goes on at another pitch without a new attack. */
export class PipeSource implements Source {
  rise = 0;
  readonly release = 0.08;
  readonly pending = false;
  private readonly amplitudes = new Float64Array(MOST_HARMONICS);
  private readonly breath: NoiseBand;
  private readonly chiffDecay: number;
  private harmonics = 0;
  private breathLevel = 0;
  private chiff = 0;
  /** In turns, and turns a sample. */
  private phase = 0;
  private step = 0;
  private goal = 0;
  private ratio = 1;
  private glideLeft = 0;

  constructor(private readonly sampleRate: number) {
    this.breath = new NoiseBand(sampleRate);
    this.chiffDecay = Math.exp(-1 / (CHIFF * sampleRate));
  }

  begin({ sound, note, strength, seed }: Stroke): void {
    const timbre = pipeTimbreOf(sound);
    this.step = this.goal = tunedTo(note, this.sampleRate) / this.sampleRate;
    this.glideLeft = 0;
    this.phase = 0;
    this.harmonics = Math.min(timbre.harmonics.length, this.fitting());
    let loudness = 0;
    for (let k = 0; k < this.harmonics; k++) {
      this.amplitudes[k] = timbre.harmonics[k]! * harmonicShare(k + 1, strength);
      const hz = (k + 1) * this.goal * this.sampleRate;
      loudness += this.amplitudes[k]! ** 2 * earWeight(hz);
    }
    const scale = timbre.gain * Math.sqrt(2 / loudness);
    for (let k = 0; k < this.harmonics; k++) this.amplitudes[k]! *= scale;
    this.breathLevel = timbre.gain * timbre.breath;
    this.chiff = CHIFF_GAIN;
    this.breath.begin(seed);
    this.tuneBreath();
    // Soft breath speaks more slowly.
    this.rise = 0.03 - 0.015 * strength;
  }

  slur(note: number): void {
    this.goal = tunedTo(note, this.sampleRate) / this.sampleRate;
    this.glideLeft = Math.max(1, Math.round(GLIDE * this.sampleRate));
    this.ratio = (this.goal / this.step) ** (1 / this.glideLeft);
    this.harmonics = Math.min(this.harmonics, this.fitting());
    this.tuneBreath();
  }

  render(out: Float64Array, count: number): void {
    const { amplitudes, harmonics, breath, breathLevel, chiffDecay } = this;
    let { phase, step, chiff } = this;
    for (let i = 0; i < count; i++) {
      if (this.glideLeft > 0) {
        step = --this.glideLeft === 0 ? this.goal : step * this.ratio;
      }
      phase += step;
      if (phase >= 1) phase -= 1;
      // sin (k+1)θ = 2·cos θ·sin kθ − sin (k−1)θ
      const twice = 2 * sineOf(phase < 0.75 ? phase + 0.25 : phase - 0.75);
      let before = 0;
      let sine = sineOf(phase);
      let sum = 0;
      for (let k = 0; k < harmonics; k++) {
        sum += amplitudes[k]! * sine;
        const next = twice * sine - before;
        before = sine;
        sine = next;
      }
      chiff *= chiffDecay;
      out[i] = sum + breathLevel * (1 + chiff) * breath.next();
    }
    this.phase = phase;
    this.step = step;
    this.chiff = chiff;
  }

  quantum(): void {
    // A number so small that a processor takes long over it must not come of it.
    if (this.chiff < 1e-9) this.chiff = 0;
  }

  /** How many harmonics fit below the limit at the pitch that is to come. */
  private fitting(): number {
    return Math.max(1, Math.floor(HIGHEST / this.goal));
  }

  private tuneBreath(): void {
    this.breath.tune('band', BREATH_AT * this.goal * this.sampleRate, BREATH_Q);
  }
}
