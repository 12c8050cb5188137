/** How a plucked string of the built-in engine sounds. */
export interface Timbre {
  /** Seconds for an E1 (41.2 Hz) to fall by 60 dB; higher strings ring shorter. */
  readonly sustain: number;
  /** How many times sooner a high partial dies than the fundamental. */
  readonly mellow: number;
  /** Factor on the cutoff of the pluck's low-pass. */
  readonly bright: number;
  /** Where the string is plucked, as a share of its length from the bridge. */
  readonly place: number;
  /** The noise in the pluck, as a share of the pluck's own amplitude. */
  readonly noise: number;
}

const BASS: Timbre = { sustain: 9, mellow: 8, bright: 1, place: 0.22, noise: 0.25 };
const GUITAR: Timbre = { sustain: 9, mellow: 5, bright: 1.6, place: 0.17, noise: 0.35 };
const PLUCKED: Timbre = { sustain: 6, mellow: 5, bright: 1.4, place: 0.3, noise: 0.5 };

/**
 * The timbre for a General MIDI program: basses, guitars, and one for all that is neither.
 * The figures were chosen by the spectrum, not taken from a source.
 *
 * @param sound General MIDI program, counted from 1 (25–32 are guitars, 33–40 basses)
 */
export function timbreOf(sound: number): Timbre {
  if (sound >= 33 && sound <= 40) return BASS;
  if (sound >= 25 && sound <= 32) return GUITAR;
  return PLUCKED;
}

/** The pluck's low-pass cutoff in Hz at strength 0, and by what factor strength 1 raises it. */
const SOFT_CUTOFF = 150;
const CUTOFF_SPAN = 24;

/** The pluck's low-pass cutoff in Hz: it grows with strength (0 to 1) and stays above the fundamental. */
export function pluckCutoff(timbre: Timbre, frequency: number, strength: number): number {
  return frequency + timbre.bright * SOFT_CUTOFF * CUTOFF_SPAN ** strength;
}

/** Seconds for a string's fundamental to fall by 60 dB: shorter for higher strings. */
export function decayTime(timbre: Timbre, frequency: number): number {
  return timbre.sustain * (41.2 / frequency) ** 0.35;
}
