import type { VoiceOff, VoiceOn } from '../../room/voice.js';
import type { Bus } from './bus.js';
import { amplitudeOfVelocity, within } from './loudness.js';
import { hash } from './random.js';
import type { Source } from './source.js';
import { QUANTUM } from './synth.js';
import { Voice } from './voice.js';

/** How many voices of one kind sound at once. */
export const MOST_VOICES = 64;
/** As many again, for those that are being cut in 4 ms to make room. */
const PLACES = 2 * MOST_VOICES;
/** The note that carries a slur on is the very next event; after this long none comes any more. */
const SLUR_WAIT = 0.02;
/** A sound that another one ends falls by 60 dB in this time, in seconds. */
const CHOKE = 0.06;

/** What one kind of instrument sounds with. */
export interface MakerOptions {
  readonly sampleRate: number;
  /** Integer; the same seed gives the same samples. */
  readonly seed: number;
  source(sampleRate: number): Source;
  /** Whether a note can be carried on at another pitch. */
  readonly slurs: boolean;
  /** Whether a note that begins ends one that sounds on the same seat; left out: none does. */
  chokes?(coming: number, sounding: number): boolean;
}

/** Makes the voices of one kind of instrument, at most 64 at once. */
export class Maker {
  private readonly places: Voice[];
  private readonly scratch = new Float64Array(QUANTUM);
  private readonly slurWait: number;

  constructor(private readonly options: MakerOptions) {
    const { sampleRate } = options;
    this.places = Array.from(
      { length: PLACES },
      () => new Voice(options.source(sampleRate), sampleRate),
    );
    this.slurWait = Math.ceil(SLUR_WAIT * sampleRate);
  }

  /** @param sound General MIDI program or drum kit, counted from 1 */
  on(event: VoiceOn, sound: number): void {
    const note = within(event.note, 0, 127);
    for (const place of this.places) {
      if (!place.sounding || place.seat !== event.seat) continue;
      if (this.options.chokes?.(note, place.note)) place.damp(CHOKE);
      if (place.ending || place.string !== event.string) continue;
      if (place.slurring > 0) {
        place.slur(event.voice, note);
        return;
      }
      place.damp();
    }
    this.vacant().begin({
      voice: event.voice,
      seat: event.seat,
      string: event.string,
      note,
      strength: within(event.strength, 0, 1),
      level: amplitudeOfVelocity(event.velocity),
      sound,
      seed: hash(this.options.seed, event.voice),
    });
  }

  off(event: VoiceOff): void {
    for (const place of this.places) {
      if (!place.sounding || place.ending || place.voice !== event.voice) continue;
      if (event.slurred && this.options.slurs) place.slurring = this.slurWait;
      else place.damp();
    }
  }

  silence(): void {
    for (const place of this.places) if (place.sounding) place.cut();
  }

  /** Whether anything of a seat sounds. */
  sounds(seat: number): boolean {
    return this.places.some((place) => place.sounding && place.seat === seat);
  }

  /** Adds the next `count` samples to the buses of the seats. */
  render(buses: readonly Bus[], count: number): void {
    for (const place of this.places) {
      if (!place.sounding) continue;
      const bus = buses[place.seat]!;
      place.render(bus.samples, this.scratch, count);
      bus.used = true;
    }
  }

  quantum(): void {
    for (const place of this.places) if (place.sounding) place.quantum(QUANTUM);
  }

  /** A free place; where 64 sound already, the faintest is cut (an ending one first, of equals the oldest). */
  private vacant(): Voice {
    let counted = 0;
    let free: Voice | undefined;
    let victim: Voice | undefined;
    let fading: Voice | undefined;
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

function fainter(a: Voice | undefined, b: Voice): Voice {
  if (!a) return b;
  if (a.ending !== b.ending) return a.ending ? a : b;
  if (a.peak !== b.peak) return a.peak < b.peak ? a : b;
  return a.voice <= b.voice ? a : b;
}
