import { StringLoop } from './string-loop.js';
import type { Timbre } from './timbre.js';

/** A string is let go of below this, −100 dBFS: less than half a step of 16 bits. Long before denormals. */
const INAUDIBLE = 1e-5;
/** A damped string falls by 60 dB in this time, in seconds. */
const DAMPING = 0.08;
/** How long an end takes that must not wait, in seconds. */
const CUT = 0.004;
/** The DC blocker's corner in Hz, far under the lowest string. */
const DC_CORNER = 4;

/** What a string is plucked with. */
export interface Stroke {
  readonly voice: number;
  readonly seat: number;
  readonly string: number;
  /** 0 to 127. */
  readonly note: number;
  /** 0 to 1. */
  readonly strength: number;
  /** RMS as it begins. */
  readonly level: number;
  readonly seed: number;
}

/** One string that sounds, from its pluck until it is silent. `render` allocates nothing. */
export class PluckedString {
  voice = 0;
  seat = -1;
  string = -1;
  /** It sounds; nothing else here means anything while it does not. */
  sounding = false;
  /** It is on its way to silence, damped or cut. */
  ending = false;
  /** It is being cut, and counts no more. */
  cutting = false;
  /** A slur was announced: frames in which the note that carries it on must come; 0: none was. */
  slurring = 0;
  /** The loudest sample of the last whole quantum. */
  peak = 0;

  private readonly loop: StringLoop;
  private readonly damping: number;
  private readonly cutStep: number;
  private readonly blocker: number;
  private blockIn = 0;
  private blockOut = 0;
  private level = 0;
  private rise = 0;
  private riseStep = 0;
  private fade = 1;
  private loudest = 0;

  constructor(private readonly sampleRate: number) {
    this.loop = new StringLoop(sampleRate);
    this.damping = 0.001 ** (1 / (DAMPING * sampleRate));
    this.cutStep = 1 / (CUT * sampleRate);
    this.blocker = Math.exp((-2 * Math.PI * DC_CORNER) / sampleRate);
  }

  pluck(stroke: Stroke, timbre: Timbre): void {
    this.loop.pluck(timbre, stroke.note, stroke.strength, stroke.seed);
    this.voice = stroke.voice;
    this.seat = stroke.seat;
    this.string = stroke.string;
    this.sounding = true;
    this.ending = this.cutting = false;
    this.slurring = 0;
    this.level = stroke.level;
    this.peak = 2 * stroke.level;
    this.loudest = 0;
    this.blockIn = this.blockOut = 0;
    this.fade = 1;
    this.rise = 0;
    // A soft touch begins in 3 ms, a hard one in 1 ms.
    this.riseStep = 1 / ((0.003 - 0.002 * stroke.strength) * this.sampleRate);
  }

  /** Carries the sound on as another voice at another pitch, without a new attack. */
  slur(voice: number, note: number): void {
    this.loop.slur(note);
    this.voice = voice;
    this.slurring = 0;
  }

  /** Lays a finger on it: 60 dB in 80 ms. */
  damp(): void {
    this.ending = true;
    this.slurring = 0;
  }

  /** Ends it in 4 ms. */
  cut(): void {
    this.ending = this.cutting = true;
  }

  /**
   * Adds the samples from index `from` until before `to` to `out`.
   *
   * @param scratch at least `to − from` long; what it held is lost
   */
  render(out: Float32Array, scratch: Float64Array, from: number, to: number): void {
    this.loop.render(scratch, 0, to - from);
    const { blocker, riseStep, level } = this;
    const damping = this.ending ? this.damping : 1;
    const cutStep = this.cutting ? this.cutStep : 0;
    let { blockIn, blockOut, rise, fade, loudest } = this;
    for (let i = from; i < to; i++) {
      const swing = scratch[i - from]!;
      blockOut = swing - blockIn + blocker * blockOut;
      blockIn = swing;
      if (rise < 1) rise = Math.min(1, rise + riseStep);
      fade = fade * damping - cutStep;
      if (fade <= 0) {
        this.sounding = false;
        break;
      }
      const sample = blockOut * level * rise * fade;
      out[i]! += sample;
      const size = sample < 0 ? -sample : sample;
      if (size > loudest) loudest = size;
    }
    this.blockIn = blockIn;
    this.blockOut = blockOut;
    this.rise = rise;
    this.fade = fade;
    this.loudest = loudest;
  }

  /** To be called after each quantum of `frames`: judges how loud it was, and ends what no one hears. */
  quantum(frames: number): void {
    this.peak = this.loudest;
    this.loudest = 0;
    if (this.slurring > 0) {
      this.slurring = Math.max(0, this.slurring - frames);
      if (this.slurring === 0) this.damp();
    }
    if (this.peak < INAUDIBLE && this.rise >= 1) this.cut();
  }
}
