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

/** How loud this device is, and how loud it may get, both behind its own level. */
export interface LoudnessView {
  readonly standing: LoudnessStanding;
  /** LUFS over 3 s; −Infinity: silence. */
  readonly lufs: number;
  /** null: only `mostPeak` holds it down. */
  readonly mostLufs: number | null;
  /** The highest true peak so far, in dBTP. */
  readonly peak: number;
  readonly mostPeak: number;
  /** By how much the ceiling turns down, in dB. */
  readonly limiting: number;
}

/** @param level this device's own, 0 to 1, on the amplitude */
export function loudnessView(loudness: Loudness, ceiling: Ceiling, level: number): LoudnessView {
  const turned = decibels(level);
  const { shortTerm, truePeak, limiting } = loudness;
  const view = {
    lufs: shortTerm + turned,
    mostLufs: ceiling.loudness === null ? null : ceiling.loudness + turned,
    peak: truePeak + turned,
    mostPeak: ceiling.peak + turned,
    limiting,
  };
  return { standing: standingOf(view.lufs, ceiling, loudness), ...view };
}

function standingOf(
  lufs: number,
  ceiling: Ceiling,
  { shortTerm, limiting }: Loudness,
): LoudnessStanding {
  if (!(lufs > UNHEARD)) return 'silent';
  if (limiting >= UNHEARD_LIMITING) return 'held';
  const below = (ceiling.loudness ?? ceiling.peak) - shortTerm;
  if (below <= NEAR) return 'near';
  return below >= QUIET ? 'quiet' : 'usual';
}

/** A factor on the amplitude in dB; −Infinity for 0. */
export function decibels(factor: number): number {
  return 20 * Math.log10(factor);
}

/** Whole decibels in every language: a true minus sign, and "−∞" for nothing at all. */
export function decibelWords(value: number): string {
  const whole = Math.round(value);
  const size = Number.isFinite(whole) ? String(Math.abs(whole)) : '∞';
  return whole < 0 ? `−${size}` : size;
}
