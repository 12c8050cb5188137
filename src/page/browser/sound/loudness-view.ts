import type { Loudness } from '../../../engine/builtin/output.js';
import type { Ceiling } from '../../../instrument/ceiling.js';

export type LoudnessStanding = 'silent' | 'quiet' | 'usual' | 'near' | 'held';

/** Below this, in LUFS, nothing sounds that anybody hears. */
const UNHEARD = -60;
/** So far below the ceiling, in LU, it is quiet, and so near it is close to it. */
const QUIET = 12;
const NEAR = 3;
/** Less than this, in dB, is no turning down that anybody hears. */
const UNHEARD_LIMITING = 0.5;

export interface LoudnessView {
  readonly standing: LoudnessStanding;
  /** LUFS over 3 s as it leaves the device's level behind; −Infinity: silence. */
  readonly lufs: number;
  /** The highest true peak so far at that level, dBTP. */
  readonly peak: number;
  /** dB by which the ceiling turns down. */
  readonly limiting: number;
}

/**
 * How loud it is against the ceiling, behind this device's own level.
 *
 * @param level 0 to 1, on the amplitude
 */
export function loudnessView(loudness: Loudness, ceiling: Ceiling, level: number): LoudnessView {
  const turned = decibels(level);
  const lufs = loudness.shortTerm + turned;
  const { limiting } = loudness;
  const below = (ceiling.loudness ?? ceiling.peak) - lufs;
  let standing: LoudnessStanding = 'usual';
  if (!(lufs > UNHEARD)) standing = 'silent';
  else if (limiting >= UNHEARD_LIMITING) standing = 'held';
  else if (below >= QUIET) standing = 'quiet';
  else if (below <= NEAR) standing = 'near';
  return { standing, lufs, peak: loudness.truePeak + turned, limiting };
}

/** A factor on the amplitude in dB; −Infinity for 0. */
export function decibels(factor: number): number {
  return 20 * Math.log10(factor);
}
