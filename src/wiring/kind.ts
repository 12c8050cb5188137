import type { Scan } from '../wire/scan.js';
import type { PadsPlan } from '../pads/plan.js';
import type { Watched } from './input.js';

/** What is known of a wire before its first reading. */
export type WireKind = Pick<PadsPlan, 'pads' | 'full' | 'decided'>;

/** 7-bit wires often send only what changes: an input that was never heard of rests at 0 there. */
const SPARSE_FULL = 127;
/** The least change that counts, as a share of full scale. Common practice, no source. */
const LEAST_SHARE = 0.0015;

/**
 * Whether a wire sends only what changes, so that silence means rest at 0: one of 7 bits on which
 * fewer than half as many inputs as there are pads spoke while nobody touched.
 */
export function tellsOnlyChanges({ pads, full, decided }: WireKind, heard: number): boolean {
  return decided || (full <= SPARSE_FULL && 2 * heard < pads);
}

/** The least change of a reading that can be a touch, in raw counts. */
export function leastChange({ full }: WireKind, onlyChanges: boolean): number {
  // On a wire that is silent at rest whatever comes is meant; a reading that flickers by 1 is not.
  if (onlyChanges) return 0.5;
  return Math.max(full <= SPARSE_FULL ? 1.5 : 2, LEAST_SHARE * full);
}

/** The readings of each input that spoke. */
export function heardBy(scans: readonly Scan[]): ReadonlyMap<number, readonly Watched[]> {
  const heard = new Map<number, Watched[]>();
  for (const { t, inputs, raws } of scans) {
    inputs.forEach((input, i) => {
      const own = heard.get(input) ?? [];
      if (own.length === 0) heard.set(input, own);
      own.push({ t, raw: raws[i]! });
    });
  }
  return heard;
}
