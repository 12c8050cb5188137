/**
 * White noise without a state: sample `n` of the noise that belongs to a seed.
 * The mixing steps are those of MurmurHash3's finaliser (Austin Appleby, public domain).
 *
 * @returns −1 to 1, evenly spread
 */
export function noise(seed: number, n: number): number {
  return hash(seed, n) / 0x80000000 - 1;
}

/** A 32-bit hash of a seed and a number: an integer from 0 to 2^32 − 1. */
export function hash(seed: number, n: number): number {
  let h = (seed ^ Math.imul(n + 1, 0x9e3779b1)) | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
