import { frequencyOf, tunedTo } from '../frequency.js';
import { designLoop, type Loop } from './loop.js';
import { writePluck } from './pluck.js';
import { decayTime, pluckCutoff, type Timbre } from './timbre.js';

/** Samples by which the loop's filters are run in on the pluck before it sounds. */
const RUN_IN = 64;
const NO_LOOP: Loop = { whole: 1, part: 1, allpass: 0, pole: 0, gain: 0 };

/**
 * The delay line and filters of one plucked string, after Karplus & Strong and Jaffe & Smith (Computer
 * Music Journal 7(2), 1983), with first-order all-pass tuning. It begins at RMS 1.
 */
export class StringLoop {
  private readonly ring: Float32Array;
  private readonly mask: number;
  private timbre: Timbre | undefined;
  private loop = NO_LOOP;
  private period = 1;
  private at = 0;
  private before = 0;
  private low = 0;
  private passIn = 0;
  private passOut = 0;
  private glide = 0;
  private glideStep = 0;
  private glideLeft = 0;

  constructor(private readonly sampleRate: number) {
    const longest = Math.ceil(sampleRate / frequencyOf(0)) + RUN_IN + 4;
    this.ring = new Float32Array(2 ** Math.ceil(Math.log2(longest)));
    this.mask = this.ring.length - 1;
  }

  /** Begins a note (0 to 127), plucked with a strength from 0 to 1. */
  pluck(timbre: Timbre, note: number, strength: number, seed: number): void {
    const { sampleRate } = this;
    const frequency = tunedTo(note, sampleRate);
    this.timbre = timbre;
    this.tune(frequency);
    this.glideLeft = 0;
    this.at = 0;
    const cutoff = pluckCutoff(timbre, frequency, strength);
    const pluck = { timbre, period: this.period, cutoff, sampleRate, seed };
    writePluck(this.ring, 0, this.loop.whole + 1 + RUN_IN, pluck);
    this.runIn();
  }

  /**
   * Carries the sound on at another pitch. The delay's length goes there in one period, so that the wave
   * in the string is stretched or squeezed as a whole and the note has no new attack.
   */
  slur(note: number): void {
    const from = this.glideLeft > 0 ? this.glide : this.loop.whole + this.loop.part;
    const steps = Math.max(1, Math.round(this.period));
    this.tune(tunedTo(note, this.sampleRate));
    this.glide = from;
    this.glideLeft = steps;
    this.glideStep = (this.loop.whole + this.loop.part - from) / steps;
  }

  /** Writes the string's next samples to `out`, from index `from` until before `to`. */
  render(out: Float64Array, from: number, to: number): void {
    const steady = Math.min(to, from + this.glideLeft);
    if (steady > from) this.renderGlide(out, from, steady);
    if (to > steady) this.renderSteady(out, steady, to);
  }

  private tune(frequency: number): void {
    const { sampleRate } = this;
    const { mellow } = this.timbre!;
    this.period = sampleRate / frequency;
    const t60 = decayTime(this.timbre!, frequency);
    this.loop = designLoop({ frequency, sampleRate, t60, mellow });
  }

  /** Brings the filters to where they would be, had the string swung so before. */
  private runIn(): void {
    const { ring, mask, loop } = this;
    this.low = this.passIn = this.passOut = 0;
    this.before = ring[(-RUN_IN - loop.whole - 1) & mask]!;
    for (let i = -RUN_IN; i < 0; i++) {
      const tap = ring[(i - loop.whole) & mask]!;
      this.low = loop.gain * (1 - loop.pole) * 0.5 * (tap + this.before) + loop.pole * this.low;
      this.before = tap;
      this.passOut = loop.allpass * (this.low - this.passOut) + this.passIn;
      this.passIn = this.low;
    }
  }

  private renderSteady(out: Float64Array, from: number, to: number): void {
    const { ring, mask } = this;
    const { whole, allpass, pole } = this.loop;
    const drive = this.loop.gain * (1 - pole) * 0.5;
    let { at, before, low, passIn, passOut } = this;
    for (let i = from; i < to; i++) {
      const tap = ring[(at - whole) & mask]!;
      low = drive * (tap + before) + pole * low;
      before = tap;
      passOut = allpass * (low - passOut) + passIn;
      passIn = low;
      ring[at] = passOut;
      out[i] = passOut;
      at = (at + 1) & mask;
    }
    this.at = at;
    this.before = before;
    this.low = low;
    this.passIn = passIn;
    this.passOut = passOut;
  }

  private renderGlide(out: Float64Array, from: number, to: number): void {
    const { ring, mask, glideStep } = this;
    const { pole } = this.loop;
    const drive = this.loop.gain * (1 - pole) * 0.5;
    let { at, before, low, glide } = this;
    for (let i = from; i < to; i++) {
      glide += glideStep;
      const back = glide | 0;
      const near = ring[(at - back) & mask]!;
      const tap = near + (glide - back) * (ring[(at - back - 1) & mask]! - near);
      low = drive * (tap + before) + pole * low;
      before = tap;
      ring[at] = low;
      out[i] = low;
      at = (at + 1) & mask;
    }
    this.at = at;
    this.before = before;
    this.low = low;
    this.glide = glide;
    this.glideLeft -= to - from;
    if (this.glideLeft <= 0) this.land();
  }

  /** After a glide: the all-pass takes over from where the glide left off. */
  private land(): void {
    const { ring, mask, at } = this;
    this.before = ring[(at - 1 - this.loop.whole) & mask]!;
    this.passIn = this.low;
    this.passOut = ring[(at - 1) & mask]!;
  }
}
