import type { Source, Stroke } from './source.js';

/** A voice is let go of below this, −100 dBFS: less than half a step of 16 bits. Long before denormals. */
const INAUDIBLE = 1e-5;
/** How long an end takes that must not wait, in seconds. */
const CUT = 0.004;
/** Nothing begins faster than this, in seconds. */
const SHORTEST_RISE = 0.0001;
/** RMS of the loudest note as it begins: a plucked string's peaks, about twice that, are then near −12 dBFS. */
const LOUDEST_RMS = 0.12;

/** One voice that sounds, from its stroke until it is silent. `render` allocates nothing. */
export class Voice {
  voice = 0;
  seat = -1;
  string = -1;
  note = -1;
  /** It sounds; nothing else here means anything while it does not. */
  sounding = false;
  /** It was let go of or is being cut. */
  ending = false;
  /** It is being cut, and counts no more. */
  cutting = false;
  /** A slur was announced: frames in which the note that carries it on must come; 0: none was. */
  slurring = 0;
  /** The loudest sample of the last whole quantum. */
  peak = 0;

  private readonly cutStep: number;
  private damping = 1;
  private level = 0;
  private rise = 0;
  private riseStep = 0;
  private fade = 1;
  private loudest = 0;

  constructor(
    private readonly source: Source,
    private readonly sampleRate: number,
  ) {
    this.cutStep = 1 / (CUT * sampleRate);
  }

  begin(stroke: Stroke): void {
    this.source.begin(stroke);
    this.voice = stroke.voice;
    this.seat = stroke.seat;
    this.string = stroke.string;
    this.note = stroke.note;
    this.sounding = true;
    this.ending = this.cutting = false;
    this.slurring = 0;
    this.level = LOUDEST_RMS * stroke.level;
    // Until it was heard.
    this.peak = 2 * this.level;
    this.loudest = 0;
    this.fade = this.damping = 1;
    this.rise = 0;
    this.riseStep = 1 / (Math.max(this.source.rise, SHORTEST_RISE) * this.sampleRate);
  }

  /** Carries the sound on as another voice at another pitch, without a new attack. */
  slur(voice: number, note: number): void {
    this.source.slur(note);
    this.voice = voice;
    this.note = note;
    this.slurring = 0;
  }

  /** Lets go of it: it falls by 60 dB in so many seconds, left out: in its own time. */
  damp(seconds = this.source.release): void {
    this.ending = true;
    this.slurring = 0;
    this.damping = 0.001 ** (1 / (seconds * this.sampleRate));
  }

  /** Ends it in 4 ms. */
  cut(): void {
    this.ending = this.cutting = true;
  }

  /**
   * Adds the next `count` samples to `out`.
   *
   * @param scratch at least `count` long; what it held is lost
   */
  render(out: Float32Array, scratch: Float64Array, count: number): void {
    this.source.render(scratch, count);
    const { damping, riseStep, level } = this;
    const cutStep = this.cutting ? this.cutStep : 0;
    let { rise, fade, loudest } = this;
    for (let i = 0; i < count; i++) {
      if (rise < 1) rise = Math.min(1, rise + riseStep);
      fade = fade * damping - cutStep;
      if (fade <= 0) {
        this.sounding = false;
        break;
      }
      const sample = scratch[i]! * level * rise * fade;
      out[i]! += sample;
      const size = sample < 0 ? -sample : sample;
      if (size > loudest) loudest = size;
    }
    this.rise = rise;
    this.fade = fade;
    this.loudest = loudest;
  }

  /** To be called after each quantum of `frames`: judges how loud it was, and ends what no one hears. */
  quantum(frames: number): void {
    this.peak = this.loudest;
    this.loudest = 0;
    this.source.quantum();
    if (this.slurring > 0) {
      this.slurring = Math.max(0, this.slurring - frames);
      if (this.slurring === 0) this.damp();
    }
    if (this.peak < INAUDIBLE && this.rise >= 1 && !this.source.pending) this.cut();
  }
}
