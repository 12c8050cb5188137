import { drumKeyOf, FIRST_DRUM } from './drum-kit.js';

/**
 * By percussion key, from the first on. Measured, at velocity 127: each drum is brought to −17 LUFS over
 * its loudest 100 ms (a plucked string's are near −18) and at most −20 over 400 ms (a string's are near
 * −19.5), or as far as no peak of 80 hits came above −6.6 dBFS; the shortest click ends at −22 over 100 ms.
 */
// prettier-ignore
const GAINS = [
  1.67, 1.52, 1.39, 0.9, 0.87, 0.92, 1.41, 1.22, 1.37, 1.05, 1.37, 0.72, // 35 to 46
  1.37, 1.38, 0.64, 1.38, 0.76, 0.68, 0.94, 1.14, 0.76, 1.34, 0.66, 0.27, // 47 to 58
  0.76, 1.54, 1.55, 1.52, 1.52, 1.47, 1.28, 1.28, 1.37, 1.41, 1.4, 1.36, // 59 to 70
  0.62, 0.43, 1.06, 1.12, 1.51, 1.52, 1.62, 1.23, 0.9, 1.35, 0.67, // 71 to 81
];

/** The factor that makes a percussion key about as loud as the others; see `drumOf` for keys without one. */
export function drumGainOf(key: number): number {
  return GAINS[drumKeyOf(key) - FIRST_DRUM]!;
}
