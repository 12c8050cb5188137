import type { Scan } from '../wire/scan.js';
import type { SpareInput } from './types.js';
import { findTouches, type FoundTouch } from '../calibration/find-touches.js';
import { seriesOf } from '../pads/series.js';

/** A spare input that moves more often than this picks something up; it is no wire of a pad. */
const MOST_TOUCHES = 20;

/**
 * Inputs that bring readings but belong to no pad, and when they moved as a touched pad does: by
 * themselves, since what moves together with a wired pad is only its neighbour.
 */
export function spareInputs(
  scans: readonly Scan[],
  wiring: readonly (number | null)[],
  touches: readonly FoundTouch[],
): { spare: SpareInput[]; moved: { input: number; from: number }[] } {
  const inputs = [...new Set(scans.flatMap((scan) => scan.inputs))]
    .filter((input) => (wiring[input] ?? null) === null)
    .sort((a, b) => a - b);
  if (inputs.length === 0) return { spare: [], moved: [] };
  const own: (number | null)[] = Array.from({ length: Math.max(...inputs) + 1 }, () => null);
  inputs.forEach((input, i) => (own[input] = i));
  const alone = findTouches(seriesOf(scans, own, inputs.length)).touches.filter(
    ({ from, to }) => !touches.some((touch) => touch.from < to && from < touch.to),
  );
  const spare = inputs.map((input, i) => ({
    input,
    touches: alone.filter(({ pad }) => pad === i).length,
  }));
  const moved = alone
    .map(({ pad, from }) => ({ input: inputs[pad]!, from }))
    .filter(({ input }) => spare.find((one) => one.input === input)!.touches <= MOST_TOUCHES);
  return { spare, moved };
}
