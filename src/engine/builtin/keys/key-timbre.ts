/** How the keys of one family of sounds swing. */
export interface KeyTimbre {
  /** Frequencies of the partials as multiples of the note's. */
  readonly ratios: readonly number[];
  /** Their amplitudes at a strength from 0 to 1 and a frequency in Hz; scaled to RMS 1 as heard afterwards. */
  amplitude(ratio: number, strength: number, frequency: number): number;
  /** Seconds for the note's first partial to fall by 60 dB while the key is held; Infinity: it stays. */
  t60(frequency: number): number;
  /** By how much sooner a partial dies than the first: t60 / (1 + haste · (ratio − 1)). */
  readonly haste: number;
  /** Seconds in which a soft and a hard note swells. */
  readonly rise: readonly [soft: number, hard: number];
  /** Seconds to fall by 60 dB once the key is let go of. */
  readonly release: number;
  /** Factor on the whole, by which all families are about equally loud (measured; see the tests). */
  readonly gain: number;
}

const firstPartials = (count: number): number[] => Array.from({ length: count }, (_, i) => i + 1);

/** Where a hammer strikes the string, as a share of its length (a seventh to a ninth is usual; from memory). */
const STRIKE = 1 / 8;

/** A struck string: partials of an ideal string struck at one place, through a softer or harder felt. */
const STRUCK: KeyTimbre = {
  ratios: firstPartials(16),
  amplitude(ratio, strength, frequency) {
    const felt = 1.5 * frequency + 250 * 10 ** strength;
    const ideal = Math.abs(Math.sin(Math.PI * ratio * STRIKE)) / ratio;
    return ideal / (1 + ((ratio * frequency) / felt) ** 2);
  },
  t60: (frequency) => Math.min(14, 9 * (220 / frequency) ** 0.6),
  haste: 0.25,
  rise: [0.004, 0.0015],
  release: 0.15,
  gain: 0.85,
};

/**
 * A tuned bar. The second and third mode of a marimba's and a vibraphone's bars are tuned to four and
 * about ten times the first (Fletcher & Rossing, The Physics of Musical Instruments; from memory).
 */
const BAR: KeyTimbre = {
  ratios: [1, 4, 10],
  amplitude: (ratio, strength) => ratio ** -(1.6 - 0.9 * strength),
  t60: (frequency) => 3 * (440 / frequency) ** 0.5,
  haste: 0.5,
  rise: [0.003, 0.001],
  release: 0.6,
  gain: 1.05,
};

/** An organ: partials that stand as long as the key is held. */
const ORGAN: KeyTimbre = {
  ratios: [1, 2, 3, 4, 6, 8],
  amplitude: (ratio, strength) => ratio ** -(1.7 - 0.8 * strength),
  t60: () => Infinity,
  haste: 0,
  rise: [0.012, 0.006],
  release: 0.08,
  gain: 0.67,
};

/** For all that is none of these: a soft tone that fades slowly. */
const SOFT: KeyTimbre = {
  ratios: firstPartials(8),
  amplitude: (ratio, strength) => ratio ** -(2.4 - 1.2 * strength),
  t60: (frequency) => 8 * (220 / frequency) ** 0.4,
  haste: 0.15,
  rise: [0.012, 0.006],
  release: 0.25,
  gain: 0.85,
};

/**
 * The timbre for a General MIDI program. Figures without a source were chosen by the spectrum.
 *
 * @param sound General MIDI program, counted from 1: 1–8 pianos, 9–16 tuned percussion, 17–24 organs
 */
export function keyTimbreOf(sound: number): KeyTimbre {
  if (sound >= 1 && sound <= 8) return STRUCK;
  if (sound >= 9 && sound <= 16) return BAR;
  if (sound >= 17 && sound <= 24) return ORGAN;
  return SOFT;
}
