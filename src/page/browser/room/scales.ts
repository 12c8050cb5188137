import type { PitchClasses } from '../../../instrument/types.js';

/** Common scales, as steps from their key in semitones (common practice). */
export const SCALES = {
  major: [0, 2, 4, 5, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 8, 10],
  majorPentatonic: [0, 2, 4, 7, 9],
  minorPentatonic: [0, 3, 5, 7, 10],
  blues: [0, 3, 5, 6, 7, 10],
  dorian: [0, 2, 3, 5, 7, 9, 10],
  mixolydian: [0, 2, 4, 5, 7, 9, 10],
  harmonicMinor: [0, 2, 3, 5, 7, 8, 11],
  wholeTone: [0, 2, 4, 6, 8, 10],
} as const;

export type ScaleName = keyof typeof SCALES;

export const SCALE_NAMES = Object.keys(SCALES) as ScaleName[];

/** A scale by its name and its key; a pitch class, 0 is C. */
export interface NamedScale {
  readonly name: ScaleName;
  readonly key: number;
}

/** @example classesOf({ name: 'major', key: 2 }) // [1, 2, 4, 6, 7, 9, 11] */
export function classesOf({ name, key }: NamedScale): number[] {
  return SCALES[name].map((step) => (step + key) % 12).sort((a, b) => a - b);
}

/**
 * What pitch classes are called. Several names can fit, as C major and A minor do: `before` is kept where
 * it still fits.
 *
 * @returns null where no name fits
 */
export function nameScale(classes: PitchClasses, before: NamedScale | null): NamedScale | null {
  const fits = (one: NamedScale): boolean => String(classesOf(one)) === String(classes);
  if (before && fits(before)) return before;
  for (const name of SCALE_NAMES) {
    for (const key of classes) if (fits({ name, key })) return { name, key };
  }
  return null;
}
