import type { VoiceOff, VoiceOn } from '../../room/voice.js';
import type { SeatSound } from '../seat-sound.js';
import { amplitudeOfVelocity, within } from './loudness.js';
import { hash } from './random.js';
import { PluckedString } from './string.js';
import { QUANTUM, type Synth } from './synth.js';
import { timbreOf } from './timbre.js';

/** How many strings sound at once. */
export const MOST_VOICES = 64;
/** As many again, for those that are being cut in 4 ms to make room. */
const PLACES = 2 * MOST_VOICES;
/** RMS of the loudest note as it begins: a plucked string's peaks, about twice that, are then near −12 dBFS. */
const LOUDEST_RMS = 0.12;
/** The note that carries a slur on is the very next event; after this long none comes any more. */
const SLUR_WAIT = 0.02;

export interface StringsOptions {
  readonly sampleRate: number;
  /** Integer; the same seed gives the same samples. */
  readonly seed: number;
  readonly seats: readonly SeatSound[];
}

/** The built-in voices: plucked strings, in the middle of the stereo field. */
export class Strings implements Synth {
  private readonly places: PluckedString[];
  private readonly scratch = new Float64Array(QUANTUM);
  private readonly slurWait: number;

  constructor(private readonly options: StringsOptions) {
    const { sampleRate } = options;
    this.places = Array.from({ length: PLACES }, () => new PluckedString(sampleRate));
    this.slurWait = Math.ceil(SLUR_WAIT * sampleRate);
  }

  on(event: VoiceOn): void {
    const note = within(event.note, 0, 127);
    for (const place of this.places) {
      if (!place.sounding || place.ending) continue;
      if (place.seat !== event.seat || place.string !== event.string) continue;
      if (place.slurring > 0) {
        place.slur(event.voice, note);
        return;
      }
      place.damp();
    }
    const seat = this.options.seats[event.seat];
    const level = within(seat?.level ?? 1, 0, 1) * amplitudeOfVelocity(event.velocity);
    const stroke = {
      voice: event.voice,
      seat: event.seat,
      string: event.string,
      note,
      strength: within(event.strength, 0, 1),
      level: LOUDEST_RMS * level,
      seed: hash(this.options.seed, event.voice),
    };
    this.vacant().pluck(stroke, timbreOf(seat?.sound ?? 0));
  }

  off(event: VoiceOff): void {
    for (const place of this.places) {
      if (!place.sounding || place.ending || place.voice !== event.voice) continue;
      if (event.slurred) place.slurring = this.slurWait;
      else place.damp();
    }
  }

  silence(): void {
    for (const place of this.places) if (place.sounding) place.cut();
  }

  render(left: Float32Array, right: Float32Array, from: number, to: number): void {
    left.fill(0, from, to);
    for (const place of this.places) {
      if (place.sounding) place.render(left, this.scratch, from, to);
    }
    for (let i = from; i < to; i++) right[i] = left[i]!;
  }

  quantum(): void {
    for (const place of this.places) if (place.sounding) place.quantum(QUANTUM);
  }

  /** A free place; where 64 strings sound already, the faintest is cut (an ending one first, of equals the oldest). */
  private vacant(): PluckedString {
    let counted = 0;
    let free: PluckedString | undefined;
    let victim: PluckedString | undefined;
    let fading: PluckedString | undefined;
    for (const place of this.places) {
      if (!place.sounding) free ??= place;
      else if (place.cutting) fading = fainter(fading, place);
      else {
        counted++;
        victim = fainter(victim, place);
      }
    }
    if (counted >= MOST_VOICES) victim?.cut();
    return free ?? fading!;
  }
}

function fainter(a: PluckedString | undefined, b: PluckedString): PluckedString {
  if (!a) return b;
  if (a.ending !== b.ending) return a.ending ? a : b;
  if (a.peak !== b.peak) return a.peak < b.peak ? a : b;
  return a.voice <= b.voice ? a : b;
}
