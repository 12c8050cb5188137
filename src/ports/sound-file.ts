import { renderWav } from '../engine/builtin/offline.js';
import type { Loudness } from '../engine/builtin/output.js';
import type { SeatSound } from '../engine/seat-sound.js';
import { CLASS_CEILING, type Ceiling } from '../instrument/ceiling.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Tell } from './contracts.js';
import { readSoundFont } from './sound/soundfont-file.js';

const SAMPLE_RATE = 48_000;
/** Long enough for a damped string to be silent. */
const TAIL_SECONDS = 0.5;

export interface SoundFileOptions {
  readonly seats: readonly SeatSound[];
  readonly seed: number;
  /** Path of a SoundFont; null: our own voices. */
  readonly soundfont: string | null;
  /** What the sound keeps to; left out: what is sensible for a class. */
  readonly ceiling?: Ceiling;
  readonly tell: Tell;
}

/** A WAV, and how loud it is. */
export interface RenderedSound {
  readonly bytes: Uint8Array;
  readonly loudness: Loudness | null;
}

/**
 * The bytes of a WAV with what the built-in engine makes of voices (16 bits, stereo, 48 kHz); the
 * same voices give the same bytes. A SoundFont that cannot be read is told of, and our own voices
 * are used.
 */
export async function renderSound(
  events: Iterable<VoiceEvent>,
  { seats, seed, soundfont, ceiling = CLASS_CEILING, tell }: SoundFileOptions,
): Promise<RenderedSound> {
  const synth =
    soundfont === null
      ? undefined
      : await readSoundFont(soundfont, { sampleRate: SAMPLE_RATE, seats }, tell);
  let loudness: Loudness | null = null;
  const bytes = renderWav(events, {
    sampleRate: SAMPLE_RATE,
    seed,
    seats,
    ceiling,
    tailSeconds: TAIL_SECONDS,
    onLoudness: (heard) => {
      loudness = heard;
    },
    ...(synth ? { synth } : {}),
  });
  return { bytes, loudness };
}
