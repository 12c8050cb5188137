/** How a pipe sounds. */
export interface PipeTimbre {
  /** Amplitudes of its harmonics, from the first on, blown hard; scaled to RMS 1 as heard afterwards. */
  readonly harmonics: readonly number[];
  /** What the breath adds, as RMS. */
  readonly breath: number;
  /** Factor on the whole, by which it is about as loud as the other kinds (measured; see the tests). */
  readonly gain: number;
}

/** An open pipe that a jet of air blows: hardly any harmonics above the third. */
const FLUTE: PipeTimbre = {
  harmonics: [1, 0.4, 0.22, 0.07, 0.03, 0.012],
  breath: 0.03,
  gain: 0.67,
};

/** A pipe closed by a reed: odd harmonics stand out. */
const REED: PipeTimbre = {
  harmonics: [1, 0.12, 0.6, 0.14, 0.35, 0.1, 0.18, 0.05],
  breath: 0.012,
  gain: 0.67,
};

/**
 * The timbre for a General MIDI program. The figures were chosen by the spectrum, not taken from a source.
 *
 * @param sound General MIDI program, counted from 1 (65–72 are reeds; all others sound as flutes do)
 */
export function pipeTimbreOf(sound: number): PipeTimbre {
  return sound >= 65 && sound <= 72 ? REED : FLUTE;
}

/** How much of harmonic `k` (from 1) there is at a strength from 0 to 1: soft breath leaves the high ones out. */
export function harmonicShare(k: number, strength: number): number {
  return (0.35 + 0.65 * strength) ** (k - 1);
}
